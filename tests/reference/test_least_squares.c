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

int main(void)
{
	Suite *suite = suite_create("least squares against published values");
	TCase *nist = tcase_create("NIST StRD");

	tcase_add_test(nist, nist_sets_exact_derivatives);
	tcase_add_test(nist, nist_sets_differences);
	tcase_add_test(nist, boxbod_false_end);
	suite_add_tcase(suite, nist);
	return close_run(suite);
}
