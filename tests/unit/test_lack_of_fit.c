/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>

#include "../reference/close.h"
#include "base/random.h"
#include "estimate/lack_of_fit.h"

/* Chi-square taken apart by repeated tries: certified sums of squares, laws that hold exactly, and
 * the distribution when a linear model is right. */

/* NIST StRD, analysis of variance, set SiRstv: 5 instruments, 5 tries each. The data, from memory,
 * reproduce the certified mean squares below to all their digits. */
#define INSTRUMENTS 5
#define REPEATS 5

static const double silicon[INSTRUMENTS][REPEATS] = {
    {196.3052, 196.1240, 196.1890, 196.2569, 196.3403},
    {196.3042, 196.3825, 196.1669, 196.3257, 196.0422},
    {196.1303, 196.2005, 196.2889, 196.0343, 196.1811},
    {196.2795, 196.1748, 196.1494, 196.1485, 195.9885},
    {196.2119, 196.1051, 196.1850, 196.0052, 196.2090}};

START_TEST(nist_mean_squares)
{
	static const double one[] = {1.0};
	static const size_t slot[] = {7};
	static const bool counts[] = {true};
	double residuals[INSTRUMENTS * REPEATS], mean = 0.0;
	struct lack_of_fit_try tries[INSTRUMENTS * REPEATS];
	struct lack_of_fit split;
	size_t row = 0;

	for (size_t k = 0; k < REPEATS; k++)
		for (size_t g = 0; g < INSTRUMENTS; g++)
			mean += silicon[g][k] / (INSTRUMENTS * REPEATS);
	for (size_t k = 0; k < REPEATS; k++)
		for (size_t g = 0; g < INSTRUMENTS; g++, row++) {
			residuals[row] = silicon[g][k] - mean;
			tries[row] =
			    (struct lack_of_fit_try){g, 1, &residuals[row], one, slot, counts};
		}
	ck_assert_int_eq(lack_of_fit_split(tries, row, 0.0, 1.0, &split), STATUS_OK);
	ck_assert_double_eq(split.between_freedom, 4.0);
	ck_assert_double_eq(split.within_freedom, 20.0);
	ck_assert_double_eq_tol(split.between / 4.0, 1.27865654e-2, 5e-11);
	ck_assert_double_eq_tol(split.within / 20.0, 1.08318280e-2, 5e-11);
	ck_assert_double_eq_tol(split.between / 4.0 / (split.within / 20.0), 1.18046237440255,
	                        1e-9);
	/* The scatter is far below 1, as if the stated errors were far too large: then chi-square is
	 * the larger one. */
	ck_assert_double_eq(split.probability, gsl_cdf_chisq_Q(split.between, 4.0));
}
END_TEST

/* Closed forms for two degrees of freedom: exp(-x/2), and (1 + 2 f/n)^(-n/2). */
START_TEST(larger_probability)
{
	struct lack_of_fit steady = {
	    .within = 3.7, .within_freedom = 13.0, .between = 7.31, .between_freedom = 2.0};
	struct lack_of_fit wild = steady, alone = steady, empty = steady;

	ck_assert_double_eq_tol(lack_of_fit_probability(&steady), exp(-7.31 / 2.0), 1e-15);
	wild.within = 41.3;
	ck_assert_double_eq_tol(lack_of_fit_probability(&wild),
	                        pow(1.0 + 2.0 * (7.31 / 2.0 * 13.0 / 41.3) / 13.0, -6.5), 1e-14);
	ck_assert(lack_of_fit_probability(&wild) > lack_of_fit_probability(&steady));
	alone.within = alone.within_freedom = 0.0;
	ck_assert_double_eq_tol(lack_of_fit_probability(&alone), exp(-7.31 / 2.0), 1e-15);
	empty.between_freedom = 0.49;
	ck_assert(isnan(lack_of_fit_probability(&empty)));
	empty.between_freedom = -3.1;
	ck_assert(isnan(lack_of_fit_probability(&empty)));
}
END_TEST

/* --- a linear problem: two constants without prior, one unknown that a group shares, with a standard
 * normal prior, and tries with three correlated residuals, one of which may be missing ----------- */

#define GROUPS 6
#define TRIES 4
#define PARTS 3
#define UNKNOWNS (2 + GROUPS)
#define ROWS (GROUPS * TRIES)
#define SESSIONS 4000

struct linear_try {
	size_t group, count, slot[PARTS];
	bool counts[PARTS];
	double factor[PARTS * PARTS], whitened[PARTS][UNKNOWNS], reduced[PARTS];
};

struct linear {
	struct linear_try tries[ROWS];
	double readings;
};

/* L^-1 v in place. */
static void forward(const double *factor, size_t count, double *v)
{
	for (size_t i = 0; i < count; i++) {
		for (size_t k = 0; k < i; k++)
			v[i] -= factor[i * count + k] * v[k];
		v[i] /= factor[i * count + i];
	}
}

static void make_try(struct random_stream *stream, double slopes[PARTS][2], size_t group,
                     size_t number, struct linear_try *try)
{
	double share[PARTS];

	*try = (struct linear_try){.group = group};
	for (size_t part = 0; part < PARTS; part++)
		if ((group + number + part) % 5 != 0)
			try->slot[try->count++] = 10 * part + 3;
	for (size_t i = 0; i < try->count; i++) {
		size_t part = try->slot[i] / 10;

		try->counts[i] = true;
		share[i] = 0.6 + 0.3 * (double)part;
		for (size_t k = 0; k <= i; k++)
			try->factor[i * try->count + k] =
			    i == k ? 0.7 + random_uniform(stream) : 0.8 * random_normal(stream);
	}
	for (int j = 0; j < UNKNOWNS; j++) {
		double column[PARTS] = {0.0};

		for (size_t i = 0; i < try->count; i++)
			column[i] = j < 2 ? slopes[try->slot[i] / 10][j]
			                  : (j - 2 == (int)group ? share[i] : 0.0);
		forward(try->factor, try->count, column);
		for (size_t i = 0; i < try->count; i++)
			try->whitened[i][j] = column[i];
	}
}

static void make_linear(uint64_t seed, struct linear *linear)
{
	struct random_stream stream = random_start(seed, 1);

	*linear = (struct linear){.readings = 0.0};
	for (size_t g = 0; g < GROUPS; g++) {
		double slopes[PARTS][2];

		for (int part = 0; part < PARTS; part++)
			for (int j = 0; j < 2; j++)
				slopes[part][j] = random_normal(&stream);
		for (size_t k = 0; k < TRIES; k++) {
			struct linear_try *try = &linear->tries[k * GROUPS + g];

			make_try(&stream, slopes, g, k, try);
			linear->readings += (double)try->count;
		}
	}
}

/* Fits what is in `reduced`, takes the best away from it and splits the rest. */
static void fit_linear(struct linear *linear, struct lack_of_fit *split, double *total)
{
	double matrix[UNKNOWNS * UNKNOWNS] = {0.0}, step[UNKNOWNS] = {0.0}, shared = 0.0;
	gsl_matrix_view a = gsl_matrix_view_array(matrix, UNKNOWNS, UNKNOWNS);
	gsl_vector_view b = gsl_vector_view_array(step, UNKNOWNS);
	struct lack_of_fit_try tries[ROWS];

	for (int j = 2; j < UNKNOWNS; j++)
		matrix[j * UNKNOWNS + j] = 1.0;
	for (size_t t = 0; t < ROWS; t++)
		for (size_t i = 0; i < linear->tries[t].count; i++) {
			const double *w = linear->tries[t].whitened[i];

			for (int j = 0; j < UNKNOWNS; j++) {
				step[j] += w[j] * linear->tries[t].reduced[i];
				for (int k = 0; k < UNKNOWNS; k++)
					matrix[j * UNKNOWNS + k] += w[j] * w[k];
			}
		}
	ck_assert_int_eq(gsl_linalg_cholesky_decomp1(&a.matrix), 0);
	gsl_linalg_cholesky_svx(&a.matrix, &b.vector);
	*total = 0.0;
	for (int j = 2; j < UNKNOWNS; j++)
		shared += step[j] * step[j];
	for (size_t t = 0; t < ROWS; t++) {
		struct linear_try *try = &linear->tries[t];

		for (size_t i = 0; i < try->count; i++) {
			for (int j = 0; j < UNKNOWNS; j++)
				try->reduced[i] -= try->whitened[i][j] * step[j];
			*total += try->reduced[i] * try->reduced[i];
		}
		tries[t] = (struct lack_of_fit_try){try->group,  try->count, try->reduced,
		                                    try->factor, try->slot,  try->counts};
	}
	*total += shared;
	ck_assert_int_eq(lack_of_fit_split(tries, ROWS, shared, 2.0, split), STATUS_OK);
}

/* Residuals of a session in which the model is right; what the shared unknowns are is drawn too. */
static void draw_linear(struct random_stream *stream, struct linear *linear)
{
	double truth[UNKNOWNS];

	for (int j = 0; j < UNKNOWNS; j++)
		truth[j] = (j < 2 ? 30.0 : 1.0) * random_normal(stream);
	for (size_t t = 0; t < ROWS; t++)
		for (size_t i = 0; i < linear->tries[t].count; i++) {
			double *reduced = &linear->tries[t].reduced[i];

			*reduced = random_normal(stream);
			for (int j = 0; j < UNKNOWNS; j++)
				*reduced += linear->tries[t].whitened[i][j] * truth[j];
		}
}

/* A count of tries of probability p that chance exceeds or falls below in 1 of 5,000 runs. */
static void check_share(size_t found, double p)
{
	double low = gsl_cdf_binomial_P((unsigned)found, p, SESSIONS);
	double high = gsl_cdf_binomial_Q((unsigned)found, p, SESSIONS);

	ck_assert_msg(low > 1e-4 && high > 1e-4, "%zu of %d, expected %g", found, SESSIONS,
	              p * SESSIONS);
}

START_TEST(null_distribution)
{
	static const double level[] = {0.05, 0.3, 0.7};
	size_t between[3] = {0}, within[3] = {0}, ratio[3] = {0}, told[3] = {0}, both = 0;
	struct random_stream stream = random_start(5119, 2);
	struct linear linear;

	make_linear(77, &linear);
	for (int s = 0; s < SESSIONS; s++) {
		struct lack_of_fit split;
		double total, p_between, p_within, p_ratio;

		draw_linear(&stream, &linear);
		fit_linear(&linear, &split, &total);
		ck_assert_double_eq_tol(split.within + split.between, total, 1e-9 * total);
		ck_assert_double_eq(split.within_freedom + split.between_freedom,
		                    linear.readings - 2.0);
		p_between = gsl_cdf_chisq_Q(split.between, split.between_freedom);
		p_within = gsl_cdf_chisq_Q(split.within, split.within_freedom);
		p_ratio = gsl_cdf_fdist_Q(split.between / split.between_freedom *
		                              split.within_freedom / split.within,
		                          split.between_freedom, split.within_freedom);
		ck_assert_double_eq(split.probability, fmax(p_between, p_ratio));
		for (int k = 0; k < 3; k++) {
			between[k] += p_between < level[k];
			within[k] += p_within < level[k];
			ratio[k] += p_ratio < level[k];
			told[k] += split.probability < level[k];
		}
		both += p_between < 0.3 && p_within < 0.3;
	}
	for (int k = 0; k < 3; k++) {
		check_share(between[k], level[k]);
		check_share(within[k], level[k]);
		check_share(ratio[k], level[k]);
		ck_assert_uint_le(told[k], ratio[k]);
		ck_assert_uint_gt(told[k], 0);
	}
	check_share(both, 0.09); /* independent */
}
END_TEST

/* Whatever the means of the groups are, the scatter about them stays. */
START_TEST(means_do_not_matter_within)
{
	struct random_stream stream = random_start(5119, 3);
	struct lack_of_fit before, after;
	struct linear linear;
	double total, added;

	make_linear(78, &linear);
	draw_linear(&stream, &linear);
	fit_linear(&linear, &before, &total);
	for (size_t t = 0; t < ROWS; t++) {
		struct linear_try *try = &linear.tries[t];
		double shift[PARTS];

		for (size_t i = 0; i < try->count; i++)
			shift[i] = sin(1.7 * (double)try->slot[i] + 2.9 * (double)try->group);
		forward(try->factor, try->count, shift);
		for (size_t i = 0; i < try->count; i++)
			try->reduced[i] += 11.0 * shift[i];
	}
	fit_linear(&linear, &after, &total);
	added = after.between - before.between;
	ck_assert_double_eq_tol(after.within, before.within, 1e-9 * total);
	ck_assert_double_gt(added, 100.0);
	ck_assert_double_lt(after.probability, 1e-6);
}
END_TEST

/* Of one degree of freedom the tail is that of (Z + delta)^2; one of three is the sum of that and of a
 * central one of two, whose density is exp(-y/2)/2: by the midpoint rule. */
START_TEST(noncentral_tail)
{
	for (int i = 0; i < 6; i++) {
		double delta = 0.3 + 1.1 * i, x = 0.7 + 3.1 * i, sum = 0.0, exact;
		int steps = 20000;

		exact = gsl_cdf_ugaussian_Q(sqrt(x) - delta) + gsl_cdf_ugaussian_Q(sqrt(x) + delta);
		ck_assert_double_eq_tol(lack_of_fit_noncentral_tail(x, 1.0, delta * delta), exact,
		                        1e-7);
		for (int k = 0; k < steps; k++) {
			double y = x * (k + 0.5) / steps, root = sqrt(x - y);

			sum +=
			    x / steps * 0.5 * exp(-0.5 * y) *
			    (gsl_cdf_ugaussian_Q(root - delta) + gsl_cdf_ugaussian_Q(root + delta));
		}
		ck_assert_double_eq_tol(lack_of_fit_noncentral_tail(x, 3.0, delta * delta),
		                        sum + exp(-0.5 * x), 1e-5);
	}
	ck_assert_double_eq_tol(lack_of_fit_noncentral_tail(5.0, 2.0, 0.0), exp(-2.5), 1e-15);
}
END_TEST

/* A model that is wrong by a known amount is flagged as often as foreseen. */
START_TEST(power_is_met)
{
	static const double amounts[] = {0.0, 1.0, 1.7};
	struct random_stream stream = random_start(5119, 4);
	struct linear linear;

	make_linear(79, &linear);
	for (int a = 0; a < 3; a++) {
		struct lack_of_fit split, shift;
		size_t flagged = 0;
		double total, power;

		for (int s = -1; s < SESSIONS; s++) {
			if (s >= 0)
				draw_linear(&stream, &linear);
			for (size_t t = 0; t < ROWS; t++) {
				struct linear_try *try = &linear.tries[t];
				double wrong[PARTS];

				for (size_t i = 0; i < try->count; i++) {
					wrong[i] = amounts[a] * cos(2.3 * (double)try->group +
					                            0.7 * (double)try->slot[i]);
					try->reduced[i] = s < 0 ? 0.0 : try->reduced[i];
				}
				forward(try->factor, try->count, wrong);
				for (size_t i = 0; i < try->count; i++)
					try->reduced[i] += wrong[i];
			}
			fit_linear(&linear, s < 0 ? &shift : &split, &total);
			flagged += s >= 0 && split.probability < 0.05;
		}
		power = lack_of_fit_power(&shift, shift.between, 0.05);
		check_share(flagged, power);
		ck_assert(a == 0 ? power < 0.05 : power > 0.1 * a);
	}
}
END_TEST

/* A residual that cannot tell anything is no degree of freedom; a factor that is none is an error. */
START_TEST(what_counts)
{
	static const double factor[] = {1.0, 99.0, 0.0, 1.0}, none[] = {1.0, 0.0, 0.0, 0.0};
	static const double first[] = {1.25, 0.0}, second[] = {-0.75, 0.0};
	static const size_t slot[] = {4, 5};
	static const bool counts[] = {true, false};
	struct lack_of_fit_try tries[] = {{1, 2, first, factor, slot, counts},
	                                  {1, 2, second, factor, slot, counts}};
	struct lack_of_fit split;

	ck_assert_int_eq(lack_of_fit_split(tries, 2, 0.37, 0.1, &split), STATUS_OK);
	ck_assert_double_eq(split.within_freedom, 1.0);
	ck_assert_double_eq_tol(split.between_freedom, 0.9, 1e-15);
	ck_assert_double_eq_tol(split.within, 2.0, 1e-14);           /* (1.25 + 0.75)^2 / 2 */
	ck_assert_double_eq_tol(split.between, 0.125 + 0.37, 1e-14); /* 2 * 0.25^2, and further */
	tries[1].factor = none;
	ck_assert_int_eq(lack_of_fit_split(tries, 2, 0.0, 0.0, &split), STATUS_NOT_CONVERGED);
	ck_assert(isnan(split.probability));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("lack of fit");
	TCase *tests = tcase_create("tries");

	tcase_add_test(tests, nist_mean_squares);
	tcase_add_test(tests, larger_probability);
	tcase_add_test(tests, null_distribution);
	tcase_add_test(tests, means_do_not_matter_within);
	tcase_add_test(tests, what_counts);
	tcase_add_test(tests, noncentral_tail);
	tcase_add_test(tests, power_is_met);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
