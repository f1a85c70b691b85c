/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "close.h"
#include "estimate/least_squares.h"
#include "nist_sets.h"

/* Six digits of parameters and standard deviations, as the certified values are commonly used to
 * grade a program; they are published to eleven. */
#define DIGITS 1e-6

static const struct least_squares_options tight = {
    .iterations = 2000, .step_tolerance = 1e-10, .gradient_tolerance = 1e-9};

/* --- NIST StRD ------------------------------------------------------------------------------ */

/* A set as a problem scaled as the fit wants it: parameters by the second start, residuals by the
 * certified residual standard deviation. */
struct scaled_set {
	const struct nist_set *set;
	double scale[NIST_PARAMETERS];
	double sigma;
};

static struct scaled_set scale_set(const struct nist_set *set)
{
	struct scaled_set scaled = {.set = set};

	for (size_t j = 0; j < set->size; j++)
		scaled.scale[j] = fabs(set->starts[1][j]);
	scaled.sigma = sqrt(set->sum_of_squares / (double)(set->count - set->size));
	return scaled;
}

static void unscale(const struct scaled_set *scaled, const double *x, double *b)
{
	for (size_t j = 0; j < scaled->set->size; j++)
		b[j] = x[j] * scaled->scale[j];
}

static bool set_residuals(void *context, const double *x, double *residuals)
{
	const struct scaled_set *scaled = context;
	const struct nist_set *set = scaled->set;
	double b[NIST_PARAMETERS];

	unscale(scaled, x, b);
	for (size_t i = 0; i < set->count; i++)
		residuals[i] =
		    (set->model(b, set->rows[i].x, NULL) - set->rows[i].y) / scaled->sigma;
	return true;
}

static bool set_jacobian(void *context, const double *x, double *jacobian)
{
	const struct scaled_set *scaled = context;
	const struct nist_set *set = scaled->set;
	double b[NIST_PARAMETERS];

	unscale(scaled, x, b);
	for (size_t i = 0; i < set->count; i++) {
		double *row = jacobian + i * set->size;

		set->model(b, set->rows[i].x, row);
		for (size_t j = 0; j < set->size; j++)
			row[j] *= scaled->scale[j] / scaled->sigma;
	}
	return true;
}

static struct least_squares_problem set_problem(struct scaled_set *scaled, bool exact)
{
	return (struct least_squares_problem){.size = scaled->set->size,
	                                      .count = scaled->set->count,
	                                      .residuals = set_residuals,
	                                      .jacobian = exact ? set_jacobian : NULL,
	                                      .context = scaled};
}

static void scaled_start(const struct scaled_set *scaled, int start, double *x)
{
	for (size_t j = 0; j < scaled->set->size; j++)
		x[j] = scaled->set->starts[start][j] / scaled->scale[j];
}

/* How many of the certified values an end misses. */
static int count_misses(const struct scaled_set *scaled, int row, const double *x,
                        const double *covariance, const struct least_squares_result *result)
{
	const struct nist_set *set = scaled->set;
	double freedom = (double)(set->count - set->size);
	double rss = result->cost * scaled->sigma * scaled->sigma;
	double s = sqrt(result->cost / freedom);
	int misses = 0;

	misses += close_false(set->name, row, "converged", result->stop == LEAST_SQUARES_CONVERGED);
	misses += close_false(set->name, row, "full rank",
	                      result->rank == set->size && result->covariance_known);
	misses += close_miss(set->name, row, "residual sum of squares", set->sum_of_squares, rss,
	                     1e-9 * set->sum_of_squares);
	for (size_t j = 0; j < set->size; j++) {
		double deviation = s * sqrt(covariance[j * set->size + j]) * scaled->scale[j];

		misses += close_miss(set->name, row, "parameter", set->certified[j],
		                     x[j] * scaled->scale[j], DIGITS * fabs(set->certified[j]));
		misses += close_miss(set->name, row, "standard deviation", set->deviations[j],
		                     deviation, DIGITS * set->deviations[j]);
	}
	return misses;
}

/* Fits a set from one of its starts and counts the misses. */
static int fit_set(const struct nist_set *set, int start, bool exact)
{
	struct scaled_set scaled = scale_set(set);
	struct least_squares_problem problem = set_problem(&scaled, exact);
	double x[NIST_PARAMETERS], covariance[NIST_PARAMETERS * NIST_PARAMETERS];
	struct least_squares_result result;

	scaled_start(&scaled, start, x);
	ck_assert_int_eq(least_squares_fit(&problem, &tight, x, covariance, &result), STATUS_OK);
	return count_misses(&scaled, start + 1, x, covariance, &result);
}

static const struct nist_set *find_set(const char *name)
{
	for (size_t k = 0; k < NIST_SETS; k++)
		if (strcmp(nist_sets[k].name, name) == 0)
			return &nist_sets[k];
	ck_abort_msg("no set %s", name);
	return NULL;
}

/* Every set from both starts but BoxBOD from its first, whose end is false (see below). */
static int fit_all(bool exact)
{
	int misses = 0;

	for (size_t k = 0; k < NIST_SETS; k++)
		for (int start = 0; start < 2; start++)
			if (start == 1 || strcmp(nist_sets[k].name, "BoxBOD") != 0)
				misses += fit_set(&nist_sets[k], start, exact);
	return misses;
}

START_TEST(nist_sets_exact_derivatives)
{
	ck_assert_int_eq(fit_all(true), 0);
}
END_TEST

START_TEST(nist_sets_differences)
{
	ck_assert_int_eq(fit_all(false), 0);
}
END_TEST

/* From (1, 1) the fit runs to a plateau where b2 has no influence: whatever the end is called, it
 * must not look like an answer, and more starts must tell. */
START_TEST(boxbod_false_end)
{
	struct scaled_set scaled = scale_set(find_set("BoxBOD"));
	struct least_squares_problem problem = set_problem(&scaled, true);
	struct least_squares_result result;
	double x[NIST_PARAMETERS], covariance[NIST_PARAMETERS * NIST_PARAMETERS];
	double starts[3 * 2];
	size_t agreeing;

	scaled_start(&scaled, 0, x);
	ck_assert_int_eq(least_squares_fit(&problem, &tight, x, covariance, &result), STATUS_OK);
	ck_assert(result.stop != LEAST_SQUARES_CONVERGED || !result.covariance_known);
	ck_assert_double_gt(result.cost, 8.0 * (6 - 2)); /* against n - p at the true one */

	scaled_start(&scaled, 0, starts);
	scaled_start(&scaled, 1, starts + 2);
	ck_assert_int_eq(least_squares_fit_starts(&problem, &tight, starts, 2, x, covariance,
	                                          &result, &agreeing),
	                 STATUS_OK);
	ck_assert_int_eq(count_misses(&scaled, 0, x, covariance, &result), 0);
	ck_assert_uint_eq(agreeing, 1);

	starts[4] = 1.73;
	starts[5] = 0.64;
	ck_assert_int_eq(least_squares_fit_starts(&problem, &tight, starts, 3, x, covariance,
	                                          &result, &agreeing),
	                 STATUS_OK);
	ck_assert_int_eq(count_misses(&scaled, 0, x, covariance, &result), 0);
	ck_assert_uint_eq(agreeing, 2);
}
END_TEST

/* --- GUM H.3 -------------------------------------------------------------------------------- */

/* JCGM 100:2008, H.3: readings of a thermometer t [deg C] and their corrections b [deg C]. */
static const double gum_t[] = {21.521, 22.012, 22.512, 23.003, 23.507, 23.999,
                               24.513, 25.002, 25.503, 26.010, 26.511};
static const double gum_b[] = {-0.171, -0.169, -0.166, -0.159, -0.164, -0.165,
                               -0.156, -0.157, -0.159, -0.161, -0.160};
#define GUM_COUNT 11
#define GUM_UNIT 0.0035 /* [deg C] the scatter of the corrections, as a unit */

static bool gum_residuals(void *context, const double *x, double *residuals)
{
	(void)context;
	for (size_t i = 0; i < GUM_COUNT; i++)
		residuals[i] = (x[0] + x[1] * (gum_t[i] - 20.0) - gum_b[i]) / GUM_UNIT;
	return true;
}

START_TEST(gum_thermometer)
{
	struct least_squares_problem problem = {
	    .size = 2, .count = GUM_COUNT, .residuals = gum_residuals};
	struct least_squares_result result;
	double y[2] = {0.37, -0.81}, c[4], s, u1, u2, r, u30;
	int misses = 0;

	ck_assert_int_eq(least_squares_fit(&problem, &tight, y, c, &result), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_CONVERGED);
	s = sqrt(result.cost / (GUM_COUNT - 2)); /* in units */
	u1 = s * sqrt(c[0]);
	u2 = s * sqrt(c[3]);
	r = c[1] / sqrt(c[0] * c[3]);
	u30 = sqrt(u1 * u1 + 100.0 * u2 * u2 + 20.0 * r * u1 * u2);
	/* As published ... */
	misses += close_miss("H.3", 1, "y1", -0.1712, y[0], 0.00005);
	misses += close_miss("H.3", 2, "u(y1)", 0.0029, u1, 0.00005);
	misses += close_miss("H.3", 3, "y2", 0.00218, y[1], 0.000005);
	misses += close_miss("H.3", 4, "u(y2)", 0.00067, u2, 0.000005);
	misses += close_miss("H.3", 5, "r", -0.930, r, 0.0005);
	misses += close_miss("H.3", 6, "s", 0.0035, s * GUM_UNIT, 0.00005);
	misses += close_miss("H.3", 7, "b(30)", -0.1494, y[0] + 10.0 * y[1], 0.00005);
	misses += close_miss("H.3", 8, "u(b(30))", 0.0041, u30, 0.00005);
	/* ... and worked out again from the inputs in full, by the formulas (H.13). */
	misses += close_miss("H.3", 9, "y1", -0.171203790, y[0], 1e-9);
	misses += close_miss("H.3", 10, "u(y1)", 0.002877598, u1, 1e-9);
	misses += close_miss("H.3", 11, "y2", 0.002182698, y[1], 1e-9);
	misses += close_miss("H.3", 12, "u(y2)", 0.000667939, u2, 1e-9);
	misses += close_miss("H.3", 13, "r", -0.930430, r, 1e-6);
	misses += close_miss("H.3", 14, "s", 0.003497564, s * GUM_UNIT, 1e-9);
	misses += close_miss("H.3", 15, "b(30)", -0.149376813, y[0] + 10.0 * y[1], 1e-9);
	misses += close_miss("H.3", 16, "u(b(30))", 0.004138596, u30, 1e-9);
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("least squares against published values");
	TCase *nist = tcase_create("NIST StRD");
	TCase *gum = tcase_create("GUM");

	tcase_add_test(nist, nist_sets_exact_derivatives);
	tcase_add_test(nist, nist_sets_differences);
	tcase_add_test(nist, boxbod_false_end);
	suite_add_tcase(suite, nist);
	tcase_add_test(gum, gum_thermometer);
	suite_add_tcase(suite, gum);
	return close_run(suite);
}
