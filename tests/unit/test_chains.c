/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <signal.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>

#include "chain_checks.h"
#include "estimate/chains.h"

/* Draws of chains_run from densities whose moments are known by formula. Every mean over draws is
 * compared within 4 of its own standard errors, which chain_checks takes from the means of
 * batches; that these errors are small is asserted besides. */

#define CHAINS 4
#define KEEP 4000
#define DRAWS (CHAINS * KEEP)
#define NORMAL_SIZE 5

static struct chain_wish wish_of(uint64_t seed)
{
	return (struct chain_wish){
	    .chains = CHAINS, .settle = 300, .keep = KEEP, .seed = seed, .threads = 1};
}

static double *run(const struct chain_target *target, const double *start, const double *metric,
                   const struct chain_wish *wish, struct chain_report *report)
{
	double *draws = calloc(wish->chains * wish->keep * target->size, sizeof *draws);

	ck_assert_ptr_nonnull(draws);
	ck_assert_int_eq(chains_run(target, start, metric, wish, draws, report), STATUS_OK);
	return draws;
}

/* A normal density: x = mean + L z with L lower triangular, so that its covariance is L L'. Zero
 * where x[0] is above limit. */
struct normal {
	double limit;
};

static const double mean[NORMAL_SIZE] = {0.37, -2.9, 13.1, 0.0041, 710.0};
static const double root[NORMAL_SIZE][NORMAL_SIZE] = {{1.3, 0, 0, 0, 0},
                                                      {-0.9, 0.5, 0, 0, 0},
                                                      {2.1, 1.7, 4.4, 0, 0},
                                                      {0.002, -0.005, 0.001, 0.003, 0},
                                                      {11.0, 0.0, -25.0, 9.0, 17.0}};

static double normal_log(void *context, const double *x, double *gradient)
{
	const struct normal *normal = context;
	double z[NORMAL_SIZE], sum = 0.0;

	if (x[0] > normal->limit)
		return -HUGE_VAL;
	for (int i = 0; i < NORMAL_SIZE; i++) {
		z[i] = x[i] - mean[i];
		for (int k = 0; k < i; k++)
			z[i] -= root[i][k] * z[k];
		z[i] /= root[i][i];
		sum -= 0.5 * z[i] * z[i];
	}
	for (int i = NORMAL_SIZE - 1; i >= 0; i--) {
		gradient[i] = -z[i];
		for (int k = i + 1; k < NORMAL_SIZE; k++)
			gradient[i] -= root[k][i] * gradient[k];
		gradient[i] /= root[i][i];
	}
	return sum;
}

static double covariance(int i, int k)
{
	double sum = 0.0;

	for (int j = 0; j < NORMAL_SIZE; j++)
		sum += root[i][j] * root[k][j];
	return sum;
}

/* The inverse covariance: the gradient's change along each axis, exact for a normal density. */
static void normal_metric(double metric[NORMAL_SIZE * NORMAL_SIZE])
{
	struct normal open = {HUGE_VAL};

	for (int k = 0; k < NORMAL_SIZE; k++) {
		double x[NORMAL_SIZE], gradient[NORMAL_SIZE];

		memcpy(x, mean, sizeof x);
		x[k] += 1.0;
		normal_log(&open, x, gradient);
		for (int i = 0; i < NORMAL_SIZE; i++)
			metric[i * NORMAL_SIZE + k] = -gradient[i];
	}
}

/* About the inverse covariance, as a fit's normal matrix is: off by up to a factor of 2 and with
 * its correlations too small. */
static void rough_metric(double metric[NORMAL_SIZE * NORMAL_SIZE])
{
	normal_metric(metric);
	for (int i = 0; i < NORMAL_SIZE; i++)
		metric[i * NORMAL_SIZE + i] *= 1.0 + 0.25 * i;
}

static double product_of(const double *x, const void *context)
{
	const int *which = context;

	return (x[which[0]] - mean[which[0]]) * (x[which[1]] - mean[which[1]]);
}

static double value_of(const double *x, const void *context)
{
	return x[*(const int *)context];
}

struct threshold {
	int which;
	double at;
};

static double is_below(const double *x, const void *context)
{
	const struct threshold *threshold = context;

	return x[threshold->which] < threshold->at ? 1.0 : 0.0;
}

static int check_quantiles(const struct chain_draws *draws, int i)
{
	static const double probabilities[] = {0.025, 0.31, 0.975};
	int misses = 0;

	for (int q = 0; q < 3; q++) {
		struct threshold at = {i, mean[i] + gsl_cdf_ugaussian_Pinv(probabilities[q]) *
		                                        sqrt(covariance(i, i))};

		misses += chain_miss("below a quantile", i, draws, is_below, &at, probabilities[q]);
	}
	return misses;
}

/* Means, covariances and quantiles are those put in (by formula). */
START_TEST(normal_moments)
{
	struct normal normal = {HUGE_VAL};
	struct chain_target target = {NORMAL_SIZE, normal_log, &normal};
	struct chain_wish wish = wish_of(3);
	struct chain_report report;
	double metric[NORMAL_SIZE * NORMAL_SIZE];
	struct chain_draws draws = {NORMAL_SIZE, CHAINS, KEEP, NULL};
	int misses = 0;

	rough_metric(metric);
	draws.rows = run(&target, mean, metric, &wish, &report);
	for (int i = 0; i < NORMAL_SIZE; i++) {
		misses += chain_miss("mean", i, &draws, value_of, &i, mean[i]);
		misses += check_quantiles(&draws, i);
		for (int k = 0; k <= i; k++) {
			int which[2] = {i, k};

			misses += chain_miss("covariance", NORMAL_SIZE * i + k, &draws, product_of,
			                     which, covariance(i, k));
		}
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_double_lt(report.mixing, 1.01);
	ck_assert(report.accepted > 0.5 && report.accepted < 1.0);
	free(draws.rows);
}
END_TEST

struct about {
	int which;
	double centre;
};

static double square_about(const double *x, const void *context)
{
	const struct about *about = context;

	return (x[about->which] - about->centre) * (x[about->which] - about->centre);
}

/* The first unknown cut off above b = 0.3 standard deviations past the mode: mean -h and variance
 * 1 - b h - h^2 in standard deviations, h = phi(b)/Phi(b); the second follows by regression. */
START_TEST(truncated_normal_moments)
{
	double b = 0.3, h = gsl_ran_ugaussian_pdf(b) / gsl_cdf_ugaussian_P(b), spread = root[0][0];
	struct normal normal = {mean[0] + b * spread};
	struct chain_target target = {NORMAL_SIZE, normal_log, &normal};
	struct chain_wish wish = wish_of(4);
	struct chain_report report;
	double metric[NORMAL_SIZE * NORMAL_SIZE], follows = covariance(1, 0) / covariance(0, 0);
	struct about first = {0, mean[0] - h * spread},
		     second = {1, mean[1] - h * spread * follows};
	struct chain_draws draws = {NORMAL_SIZE, CHAINS, KEEP, NULL};
	double variance = spread * spread * (1.0 - b * h - h * h), rest = root[1][1] * root[1][1];
	int misses = 0;

	normal_metric(metric);
	draws.rows = run(&target, mean, metric, &wish, &report);
	misses += chain_miss("mean", 0, &draws, value_of, &first.which, first.centre);
	misses += chain_miss("variance", 0, &draws, square_about, &first, variance);
	misses += chain_miss("mean", 1, &draws, value_of, &second.which, second.centre);
	misses += chain_miss("variance", 1, &draws, square_about, &second,
	                     rest + follows * follows * variance);
	for (size_t k = 0; k < DRAWS; k++)
		misses += draws.rows[k * NORMAL_SIZE] > normal.limit;
	ck_assert_int_eq(misses, 0);
	free(draws.rows);
}
END_TEST

#define BEND 0.6
#define RIDGE 0.45

/* x standard normal, y normal about BEND x^2 with standard deviation RIDGE. */
static double curved_log(void *context, const double *x, double *gradient)
{
	double off = (x[1] - BEND * x[0] * x[0]) / RIDGE;

	(void)context;
	gradient[0] = -x[0] + 2.0 * BEND * x[0] * off / RIDGE;
	gradient[1] = -off / RIDGE;
	return -0.5 * (x[0] * x[0] + off * off);
}

static double curved_term(const double *x, const void *context)
{
	(void)context;
	return x[0] * x[0] * x[1];
}

/* E y = B, var y = 2 B^2 + s^2, E x^2 y = 3 B, since E x^4 = 3. */
START_TEST(curved_moments)
{
	struct chain_target target = {2, curved_log, NULL};
	struct chain_wish wish = wish_of(5);
	struct chain_report report;
	double metric[4] = {1.0, 0.0, 0.0, 1.0 / (RIDGE * RIDGE)}, start[2] = {0.0, 0.0};
	struct about first = {0, 0.0}, second = {1, BEND};
	struct chain_draws draws = {2, CHAINS, KEEP, NULL};
	int misses = 0;

	draws.rows = run(&target, start, metric, &wish, &report);
	misses += chain_miss("mean", 0, &draws, value_of, &first.which, 0.0);
	misses += chain_miss("variance", 0, &draws, square_about, &first, 1.0);
	misses += chain_miss("mean", 1, &draws, value_of, &second.which, BEND);
	misses += chain_miss("variance", 1, &draws, square_about, &second,
	                     2.0 * BEND * BEND + RIDGE * RIDGE);
	misses += chain_miss("third moment", 1, &draws, curved_term, NULL, 3.0 * BEND);
	ck_assert_int_eq(misses, 0);
	free(draws.rows);
}
END_TEST

/* Two normals of standard deviation 1 at -8 and 8. */
static double divided_log(void *context, const double *x, double *gradient)
{
	double share = 1.0 / (1.0 + exp(-16.0 * x[0]));

	(void)context;
	gradient[0] = -x[0] + 8.0 * (2.0 * share - 1.0);
	return -0.5 * (fabs(x[0]) - 8.0) * (fabs(x[0]) - 8.0) + log1p(exp(-16.0 * fabs(x[0])));
}

/* Chains that start between two modes stay in one or the other. With k of m chains in one, of means
 * -8 and 8, the spread between is 256 k (m - k)/(m (m - 1)): at least 256/m, so with 8 chains the
 * ratio is at least sqrt(1 + 32), less what the spread within is off by. */
START_TEST(modes_apart_are_told)
{
	struct chain_target target = {1, divided_log, NULL};
	struct chain_wish wish = wish_of(6);
	struct chain_report report;
	double metric = 1.0, start = 0.0;

	wish.chains = 8;
	wish.keep = 500;
	free(run(&target, &start, &metric, &wish, &report));
	ck_assert_double_gt(report.mixing, 5.0);
}
END_TEST

START_TEST(threads_do_not_matter)
{
	struct normal normal = {1.1};
	struct chain_target target = {NORMAL_SIZE, normal_log, &normal};
	struct chain_wish wish = wish_of(7);
	struct chain_report reports[3];
	double metric[NORMAL_SIZE * NORMAL_SIZE], *draws[3];

	normal_metric(metric);
	wish.keep = 200;
	for (unsigned k = 0; k < 3; k++) {
		wish.threads = k + 1;
		draws[k] = run(&target, mean, metric, &wish, &reports[k]);
		ck_assert_mem_eq(draws[k], draws[0],
		                 CHAINS * wish.keep * NORMAL_SIZE * sizeof(double));
		ck_assert_mem_eq(&reports[k], &reports[0], sizeof reports[0]);
	}
	ck_assert_mem_ne(draws[0], draws[0] + wish.keep * NORMAL_SIZE,
	                 wish.keep * NORMAL_SIZE * sizeof(double));
	for (int k = 0; k < 3; k++)
		free(draws[k]);
}
END_TEST

static enum status run_short(const struct normal *normal, const double *start, const double *metric,
                             const struct chain_wish *wish)
{
	struct normal own = *normal;
	struct chain_target target = {NORMAL_SIZE, normal_log, &own};
	struct chain_report report;
	static double draws[8 * 50 * NORMAL_SIZE];

	return chains_run(&target, start, metric, wish, draws, &report);
}

START_TEST(says_what_will_not_do)
{
	volatile sig_atomic_t stop = 1;
	struct progress progress = {.stop = &stop};
	struct chain_wish wish = {.chains = 3, .settle = 10, .keep = 50, .seed = 1, .threads = 2};
	struct normal open = {HUGE_VAL}, shut = {mean[0] - 0.1};
	double metric[NORMAL_SIZE * NORMAL_SIZE];

	normal_metric(metric);
	ck_assert_int_eq(run_short(&open, mean, metric, &wish), STATUS_OK);
	ck_assert_int_eq(run_short(&shut, mean, metric, &wish), STATUS_INTERNAL);
	metric[0] = -metric[0];
	ck_assert_int_eq(run_short(&open, mean, metric, &wish), STATUS_INTERNAL);
	metric[0] = NAN;
	ck_assert_int_eq(run_short(&open, mean, metric, &wish), STATUS_INTERNAL);
	normal_metric(metric);
	wish.progress = &progress;
	ck_assert_int_eq(run_short(&open, mean, metric, &wish), STATUS_INTERRUPTED);
	stop = 0;
	ck_assert_int_eq(run_short(&open, mean, metric, &wish), STATUS_OK);
	wish.chains = 1;
	ck_assert_int_eq(run_short(&open, mean, metric, &wish), STATUS_INTERNAL);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("chains");
	TCase *cases = tcase_create("chains");

	suite_add_tcase(suite, cases);
	tcase_add_test(cases, normal_moments);
	tcase_add_test(cases, truncated_normal_moments);
	tcase_add_test(cases, curved_moments);
	tcase_add_test(cases, modes_apart_are_told);
	tcase_add_test(cases, threads_do_not_matter);
	tcase_add_test(cases, says_what_will_not_do);
	return close_run(suite);
}
