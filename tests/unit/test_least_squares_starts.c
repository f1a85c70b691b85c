/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>

#include "estimate/least_squares.h"

/* Several starts. The problem has two minima: with residuals x^2 - 3.7 and 0.29 (x - 1.3) the sum
 * of squares has the derivative 4 x (x^2 - 3.7) + 2 * 0.29^2 (x - 1.3), zero near the two roots of
 * 3.7; the right one is the lower. Beyond 9.1 there are no residuals. */

static const struct least_squares_options tight = {.step_tolerance = 1e-9};

struct wells {
	size_t evaluations;
	size_t stop_after; /* evaluations; 0: never */
	volatile sig_atomic_t stop;
};

static bool wells_residuals(void *context, const double *x, double *residuals)
{
	struct wells *wells = context;

	if (++wells->evaluations == wells->stop_after)
		wells->stop = 1;
	residuals[0] = x[0] * x[0] - 3.7;
	residuals[1] = 0.29 * (x[0] - 1.3);
	return x[0] <= 9.1;
}

static double slope(double x)
{
	return 4.0 * x * (x * x - 3.7) + 2.0 * 0.29 * 0.29 * (x - 1.3);
}

static enum status fit(struct wells *wells, const double *starts, size_t count, double *x,
                       double *covariance, struct least_squares_result *result, size_t *agreeing)
{
	struct least_squares_problem problem = {
	    .size = 1, .count = 2, .residuals = wells_residuals, .context = wells};
	struct progress progress = {.stop = &wells->stop};
	struct least_squares_options options = tight;

	options.progress = &progress;
	return least_squares_fit_starts(&problem, &options, starts, count, x, covariance, result,
	                                agreeing);
}

START_TEST(lowest_end_is_kept)
{
	const double starts[] = {-1.1, 2.9, -3.3, 1.7};
	struct wells wells = {0};
	struct least_squares_result result;
	double x, covariance, step;
	size_t agreeing;

	ck_assert_int_eq(fit(&wells, starts, 4, &x, &covariance, &result, &agreeing), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_CONVERGED);
	ck_assert_uint_eq(agreeing, 2);
	ck_assert_double_gt(x, 1.8);
	ck_assert_double_lt(x, 2.0);
	ck_assert_double_eq_tol(slope(x), 0.0, 1e-6);
	step = 2.0 * x;
	ck_assert_double_eq_tol(covariance, 1.0 / (step * step + 0.29 * 0.29), 1e-8);

	/* Only the false minimum is met from the left. */
	ck_assert_int_eq(fit(&wells, starts, 1, &x, NULL, &result, &agreeing), STATUS_OK);
	ck_assert_uint_eq(agreeing, 1);
	ck_assert_double_lt(x, -1.8);
	ck_assert_double_eq_tol(slope(x), 0.0, 1e-6);
}
END_TEST

/* A start without residuals among good ones does no harm; only bad ones give no end at all. */
START_TEST(starts_without_residuals)
{
	const double starts[] = {9.3, 2.9, 11.7};
	struct wells wells = {0};
	struct least_squares_result result;
	double x;
	size_t agreeing;

	ck_assert_int_eq(fit(&wells, starts, 3, &x, NULL, &result, &agreeing), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_CONVERGED);
	ck_assert_double_eq_tol(slope(x), 0.0, 1e-6);
	ck_assert_uint_eq(agreeing, 1);

	ck_assert_int_eq(fit(&wells, starts, 1, &x, NULL, &result, &agreeing), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_NOT_FINITE);
	ck_assert_double_eq(x, 9.3);
	ck_assert_uint_eq(agreeing, 0);
}
END_TEST

/* Stopped in the second fit the best end so far is kept, and the third is not begun. */
START_TEST(interruption_keeps_best_end)
{
	const double starts[] = {2.9, -3.3, 1.7};
	struct wells wells = {0};
	struct least_squares_result result;
	double x;
	size_t agreeing, first;

	ck_assert_int_eq(fit(&wells, starts, 1, &x, NULL, &result, &agreeing), STATUS_OK);
	first = wells.evaluations;
	wells = (struct wells){.stop_after = first + 2};
	ck_assert_int_eq(fit(&wells, starts, 3, &x, NULL, &result, &agreeing), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_INTERRUPTED);
	ck_assert_uint_le(wells.evaluations, first + 3);
	ck_assert_double_eq_tol(slope(x), 0.0, 1e-6);
	ck_assert_double_gt(x, 1.8);
}
END_TEST

START_TEST(no_start)
{
	struct wells wells = {0};
	struct least_squares_result result;
	double x = 2.9;
	size_t agreeing;

	ck_assert_int_eq(fit(&wells, &x, 0, &x, NULL, &result, &agreeing), STATUS_INTERNAL);
	ck_assert_uint_eq(wells.evaluations, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("least squares from several starts");
	TCase *tests = tcase_create("starts");
	SRunner *runner;
	int failed;

	tcase_add_test(tests, lowest_end_is_kept);
	tcase_add_test(tests, starts_without_residuals);
	tcase_add_test(tests, interruption_keeps_best_end);
	tcase_add_test(tests, no_start);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
