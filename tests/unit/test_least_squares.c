/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>

#include "estimate/least_squares.h"

/* What GSL leaves to its caller: rank, residuals that cannot be computed, how the iteration ended.
 * Expected values follow from the problems themselves, small enough to solve by hand. */
static const struct least_squares_options tight = {.step_tolerance = 1e-9};

/* A decay through exact values, y = 2.385 exp(-0.717 t), with ways to fail. */
#define DECAY_COUNT 9
struct decay {
	size_t evaluations;
	double refuse_below; /* of the rate: no residuals there */
	bool refuse_by_nan;  /* by a residual that is not a number instead of false */
	bool only_first;     /* no residuals after the first evaluation */
	size_t stop_after;   /* evaluations; 0: never */
	volatile sig_atomic_t stop;
};

static bool decay_residuals(void *context, const double *x, double *residuals)
{
	struct decay *decay = context;

	if (++decay->evaluations == decay->stop_after)
		decay->stop = 1;
	for (size_t i = 0; i < DECAY_COUNT; i++) {
		double t = 0.31 * (double)i;

		residuals[i] = x[0] * exp(-x[1] * t) - 2.385 * exp(-0.717 * t);
	}
	if (x[1] < decay->refuse_below || (decay->only_first && decay->evaluations > 1)) {
		residuals[4] = (double)NAN;
		return decay->refuse_by_nan;
	}
	return true;
}

static struct least_squares_problem decay_problem(struct decay *decay)
{
	return (struct least_squares_problem){
	    .size = 2, .count = DECAY_COUNT, .residuals = decay_residuals, .context = decay};
}

static enum least_squares_stop fit_decay(struct decay *decay, double *x,
                                         struct least_squares_result *result)
{
	struct least_squares_problem problem = decay_problem(decay);
	struct progress progress = {.stop = &decay->stop};
	struct least_squares_options options = tight;

	options.progress = &progress;
	ck_assert_int_eq(least_squares_fit(&problem, &options, x, NULL, result), STATUS_OK);
	return result->stop;
}

START_TEST(exact_data_converge)
{
	struct decay decay = {.refuse_below = -INFINITY};
	struct least_squares_result result;
	double x[2] = {0.93, 1.61};

	ck_assert_int_eq(fit_decay(&decay, x, &result), LEAST_SQUARES_CONVERGED);
	ck_assert_double_eq_tol(x[0], 2.385, 1e-8);
	ck_assert_double_eq_tol(x[1], 0.717, 1e-8);
	ck_assert_double_lt(result.cost, 1e-15);
	ck_assert_uint_eq(result.rank, 2);
	ck_assert(result.covariance_known);
}
END_TEST

/* --- residuals that cannot be computed ------------------------------------------------------ */

START_TEST(no_residuals_at_start)
{
	for (int by_nan = 0; by_nan < 2; by_nan++) {
		struct decay decay = {.refuse_below = 1.62, .refuse_by_nan = by_nan != 0};
		struct least_squares_result result;
		double x[2] = {0.93, 1.61};

		ck_assert_int_eq(fit_decay(&decay, x, &result), LEAST_SQUARES_NOT_FINITE);
		ck_assert_double_eq(x[0], 0.93);
		ck_assert_double_eq(x[1], 1.61);
		ck_assert_uint_eq(result.rank, 0);
		ck_assert(!result.covariance_known);
		ck_assert(isnan(result.cost));
	}
}
END_TEST

/* The first full step from here leads to a rate of about -68, where there are no residuals:
 * shortened, the fit arrives all the same. */
START_TEST(step_without_residuals_is_shortened)
{
	for (int by_nan = 0; by_nan < 2; by_nan++) {
		struct decay decay = {.refuse_below = 0.1, .refuse_by_nan = by_nan != 0};
		struct least_squares_result result;
		double x[2] = {0.31, 4.37};

		ck_assert_int_eq(fit_decay(&decay, x, &result), LEAST_SQUARES_CONVERGED);
		ck_assert_double_eq_tol(x[0], 2.385, 1e-8);
		ck_assert_double_eq_tol(x[1], 0.717, 1e-8);
	}
}
END_TEST

/* The minimum lies where there are no residuals: the fit must come to the border and not call
 * that an answer. */
START_TEST(minimum_without_residuals)
{
	struct decay decay = {.refuse_below = 0.83, .refuse_by_nan = true};
	struct least_squares_result result;
	double x[2] = {1.43, 1.61};

	ck_assert_int_ne(fit_decay(&decay, x, &result), LEAST_SQUARES_CONVERGED);
	ck_assert_double_ge(x[1], 0.83);
	ck_assert_double_lt(x[1], 1.61);
	ck_assert(isfinite(result.cost));
}
END_TEST

static bool jacobian_of_nan(void *context, const double *x, double *jacobian)
{
	(void)context;
	(void)x;
	for (size_t i = 0; i < 2 * DECAY_COUNT; i++)
		jacobian[i] = i == 7 ? (double)NAN : 0.37 + (double)(i * i);
	return true;
}

START_TEST(jacobian_not_finite)
{
	struct decay decay = {.refuse_below = -INFINITY};
	struct least_squares_problem problem = decay_problem(&decay);
	struct least_squares_result result;
	double x[2] = {0.93, 1.61}, covariance[4] = {0};

	problem.jacobian = jacobian_of_nan;
	ck_assert_int_eq(least_squares_fit(&problem, &tight, x, covariance, &result), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_NOT_FINITE);
	ck_assert_uint_eq(result.rank, 0);
	ck_assert(isnan(covariance[0]));
}
END_TEST

/* A line whose third parameter enters with the weight given, and whose slope is a product. */
struct line {
	double weight;
	bool product; /* slope x1 * x2 instead of x1 */
};

static bool line_residuals(void *context, const double *x, double *residuals)
{
	const struct line *line = context;

	for (size_t i = 0; i < 7; i++) {
		double t = 0.29 * (double)i - 0.8;
		double slope = line->product ? x[1] * x[2] : x[1];

		residuals[i] = x[0] + slope * t + line->weight * x[2] * t * t - sin(1.7 * t);
	}
	return true;
}

static size_t line_rank(struct line line, double *covariance, struct least_squares_result *result)
{
	struct least_squares_problem problem = {
	    .size = 3, .count = 7, .residuals = line_residuals, .context = &line};
	double x[3] = {0.41, 1.13, 0.87};

	ck_assert_int_eq(least_squares_fit(&problem, &tight, x, covariance, result), STATUS_OK);
	return result->rank;
}

START_TEST(parameter_without_influence)
{
	double covariance[9];
	struct least_squares_result result;

	ck_assert_uint_eq(line_rank((struct line){.weight = 0.0}, covariance, &result), 2);
	ck_assert(!result.covariance_known);
	for (size_t i = 0; i < 9; i++)
		ck_assert(isnan(covariance[i]));
	/* An influence that is rounding noise is none. */
	ck_assert_uint_eq(line_rank((struct line){.weight = 1e-17}, covariance, &result), 2);
	ck_assert(!result.covariance_known);
	/* A product of two parameters is one combination. */
	ck_assert_uint_eq(line_rank((struct line){.product = true}, covariance, &result), 2);
	ck_assert(!result.covariance_known);
}
END_TEST

/* With influence the covariance is (J'J)^-1 of the columns 1, t, t^2 at t = -0.8 + 0.29 i: worked
 * out from the power sums of t by Cramer's rule. */
START_TEST(covariance_of_quadratic)
{
	double covariance[9], s[5] = {0}, determinant;
	struct least_squares_result result;

	ck_assert_uint_eq(line_rank((struct line){.weight = 1.0}, covariance, &result), 3);
	ck_assert(result.covariance_known);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_CONVERGED);
	for (size_t i = 0; i < 7; i++)
		for (size_t k = 0; k < 5; k++)
			s[k] += pow(0.29 * (double)i - 0.8, (double)k);
	determinant = s[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (s[1] * s[4] - s[3] * s[2]) +
	              s[2] * (s[1] * s[3] - s[2] * s[2]);
	ck_assert_double_eq_tol(covariance[0], (s[2] * s[4] - s[3] * s[3]) / determinant, 1e-7);
	ck_assert_double_eq_tol(covariance[4], (s[0] * s[4] - s[2] * s[2]) / determinant, 1e-7);
	ck_assert_double_eq_tol(covariance[8], (s[0] * s[2] - s[1] * s[1]) / determinant, 1e-7);
	ck_assert_double_eq_tol(covariance[5], (s[1] * s[2] - s[0] * s[3]) / determinant, 1e-7);
	ck_assert_double_eq(covariance[5], covariance[7]);
}
END_TEST

/* --- how it ends --- */
static double decay_cost(const double *x)
{
	struct decay decay = {.refuse_below = -INFINITY};
	double residuals[DECAY_COUNT], cost = 0.0;

	decay_residuals(&decay, x, residuals);
	for (size_t i = 0; i < DECAY_COUNT; i++)
		cost += residuals[i] * residuals[i];
	return cost;
}

/* Stopped during any evaluation the fit ends within the next, at a point no worse than the start
 * and with the cost of that point; stopped before, it evaluates nothing. */
START_TEST(interruption_keeps_best_point)
{
	const double start[2] = {0.93, 1.61};
	struct decay decay = {.refuse_below = -INFINITY, .stop = 1};
	struct least_squares_result result;
	double x[2] = {start[0], start[1]};

	ck_assert_int_eq(fit_decay(&decay, x, &result), LEAST_SQUARES_INTERRUPTED);
	ck_assert_uint_eq(decay.evaluations, 0);
	ck_assert_double_eq(x[1], start[1]);

	for (size_t after = 1; after <= 40; after++) {
		decay = (struct decay){.refuse_below = -INFINITY, .stop_after = after};
		x[0] = start[0];
		x[1] = start[1];
		ck_assert_int_eq(fit_decay(&decay, x, &result), LEAST_SQUARES_INTERRUPTED);
		ck_assert_uint_le(decay.evaluations, after + 1);
		ck_assert_double_le(result.cost, decay_cost(start));
		ck_assert_double_eq_tol(result.cost, decay_cost(x), 1e-12);
	}
	ck_assert_double_lt(result.cost, 0.5 * decay_cost(start));
	ck_assert_uint_eq(result.rank, 2);
	ck_assert(result.covariance_known);
}
END_TEST

static bool jacobian_of_wrong_sign(void *context, const double *x, double *jacobian)
{
	(void)context;
	for (size_t i = 0; i < DECAY_COUNT; i++) {
		double t = 0.31 * (double)i;

		jacobian[2 * i] = -exp(-x[1] * t);
		jacobian[2 * i + 1] = x[0] * t * exp(-x[1] * t);
	}
	return true;
}

START_TEST(no_step_lowers_the_cost)
{
	struct decay decay = {.refuse_below = -INFINITY};
	struct least_squares_problem problem = decay_problem(&decay);
	struct least_squares_result result;
	double x[2] = {0.93, 1.61};

	problem.jacobian = jacobian_of_wrong_sign;
	ck_assert_int_eq(least_squares_fit(&problem, &tight, x, NULL, &result), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_NO_PROGRESS);
	ck_assert_double_eq(x[0], 0.93);
}
END_TEST

START_TEST(no_step_has_residuals)
{
	struct decay decay = {.refuse_below = -INFINITY, .only_first = true};
	struct least_squares_problem problem = decay_problem(&decay);
	struct least_squares_result result;
	double x[2] = {0.93, 1.61};

	problem.jacobian = jacobian_of_wrong_sign;
	ck_assert_int_eq(least_squares_fit(&problem, &tight, x, NULL, &result), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_NOT_FINITE);
}
END_TEST

START_TEST(iterations_run_out)
{
	struct decay decay = {.refuse_below = -INFINITY};
	struct least_squares_problem problem = decay_problem(&decay);
	struct least_squares_options options = {.iterations = 2};
	struct least_squares_result result;
	double x[2] = {0.93, 1.61};

	ck_assert_int_eq(least_squares_fit(&problem, &options, x, NULL, &result), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_ITERATIONS);
	ck_assert_uint_eq(result.iterations, 2);
}
END_TEST

/* With a coarse tolerance on the cost the fit ends earlier than with a tight one on the step, and
 * within that tolerance of the true minimum, which is 0. */
START_TEST(cost_tolerance_ends_earlier)
{
	struct decay decay = {.refuse_below = -INFINITY};
	struct least_squares_problem problem = decay_problem(&decay);
	struct least_squares_options options = {.cost_tolerance = 1e-3};
	struct least_squares_result coarse, fine;
	double x[2] = {0.93, 1.61}, y[2] = {0.93, 1.61};

	ck_assert_int_eq(least_squares_fit(&problem, &options, x, NULL, &coarse), STATUS_OK);
	ck_assert_int_eq(coarse.stop, LEAST_SQUARES_CONVERGED);
	ck_assert_int_eq(fit_decay(&decay, y, &fine), LEAST_SQUARES_CONVERGED);
	ck_assert_uint_lt(coarse.iterations, fine.iterations);
	ck_assert_double_lt(coarse.cost, 2e-3);
}
END_TEST

START_TEST(wrong_problem)
{
	struct decay decay = {.refuse_below = -INFINITY};
	struct least_squares_problem problem = decay_problem(&decay);
	struct least_squares_result result;
	double x[2] = {0.93, 1.61};

	problem.count = 1;
	ck_assert_int_eq(least_squares_fit(&problem, &tight, x, NULL, &result), STATUS_INTERNAL);
	problem = decay_problem(&decay);
	problem.size = 0;
	ck_assert_int_eq(least_squares_fit(&problem, &tight, x, NULL, &result), STATUS_INTERNAL);
	ck_assert_uint_eq(decay.evaluations, 0);
}
END_TEST

/* With this tolerance every step counts as small: not before the minimum may that end the fit. */
START_TEST(small_step_is_no_end)
{
	struct decay decay = {.refuse_below = -INFINITY};
	struct least_squares_problem problem = decay_problem(&decay);
	struct least_squares_options options = {.step_tolerance = 0.9};
	struct least_squares_result result;
	double x[2] = {2.13, 0.62};

	ck_assert_int_eq(least_squares_fit(&problem, &options, x, NULL, &result), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_CONVERGED);
	ck_assert_uint_gt(result.iterations, 1);
	ck_assert_double_eq_tol(x[1], 0.717, 1e-5);
}
END_TEST

START_TEST(stop_names_differ)
{
	for (int i = LEAST_SQUARES_CONVERGED; i <= LEAST_SQUARES_INTERRUPTED; i++)
		for (int j = LEAST_SQUARES_CONVERGED; j < i; j++)
			ck_assert_str_ne(least_squares_stop_name((enum least_squares_stop)i),
			                 least_squares_stop_name((enum least_squares_stop)j));
	ck_assert_str_eq(least_squares_stop_name(LEAST_SQUARES_CONVERGED), "converged");
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("least squares");
	TCase *tests = tcase_create("behaviour");
	SRunner *runner;
	int failed;

	tcase_add_test(tests, exact_data_converge);
	tcase_add_test(tests, no_residuals_at_start);
	tcase_add_test(tests, step_without_residuals_is_shortened);
	tcase_add_test(tests, minimum_without_residuals);
	tcase_add_test(tests, jacobian_not_finite);
	tcase_add_test(tests, parameter_without_influence);
	tcase_add_test(tests, covariance_of_quadratic);
	tcase_add_test(tests, interruption_keeps_best_point);
	tcase_add_test(tests, no_step_lowers_the_cost);
	tcase_add_test(tests, no_step_has_residuals);
	tcase_add_test(tests, iterations_run_out);
	tcase_add_test(tests, cost_tolerance_ends_earlier);
	tcase_add_test(tests, wrong_problem);
	tcase_add_test(tests, small_step_is_no_end);
	tcase_add_test(tests, stop_names_differ);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
