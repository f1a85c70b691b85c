/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_linalg.h>

#include "estimate/fit_joint.h"
#include "estimate/fit_search.h"
#include "estimate/simulate.h"
#include "fit_support.h"
#include "physics/cushion.h"

/* The search for the best end of a fit, against runs from the unknowns that a session was simulated
 * with: independent of where the search starts. */

#define TRUTHS 64 /* rows of a session at most */

static struct protocol protocol;
static struct constants constants;
static struct measurement measurement;
static struct simulated_truth truth[TRUTHS];
static struct fit_input input = {&measurement, &protocol};
static struct fit_problem problem;
static struct fit_end end;

/* A session on a slow, rough table, far from the middle of the priors. */
static void setup(void)
{
	struct session session = session_default();
	struct fault_list faults;

	fit_support_protocol(&protocol);
	constants = fit_support_truth();
	constants.value[SLIDING_FRICTION] = 0.29;
	constants.value[ROLLING_RESISTANCE] = 0.0153;
	constants.value[CUSHION_RESTITUTION] = 0.887;
	fault_list_create(&faults);
	ck_assert_int_eq(simulate_session_truth(&protocol, &session, &constants, 4711, true,
	                                        &measurement, truth, TRUTHS),
	                 STATUS_OK);
	ck_assert_uint_le(measurement.row_count, TRUTHS);
	ck_assert_int_eq(fit_problem_create(&problem, &input, 1, 3, &faults), STATUS_OK);
	ck_assert(fit_end_create(&end, fit_problem_size(&problem)));
	fault_list_free(&faults);
}

static void teardown(void)
{
	fit_end_free(&end);
	fit_problem_free(&problem);
	measurement_free(&measurement);
	protocol_free(&protocol);
}

/* Brings the problem to what the session was made with. */
static void start_from_truth(void)
{
	for (int id = 0; id < CONSTANT_COUNT; id++)
		end.x[id] = prior_coordinate((enum constant_id)id, constants.value[id]);
	for (size_t i = 0; i < problem.stroke_count; i++) {
		struct stroke_case *stroke = &problem.strokes[i];
		const struct simulated_truth *row = &truth[stroke->row - measurement.rows];

		for (int k = 0; k < SHARED_UNKNOWNS; k++)
			if (stroke->parameter[k] >= 0)
				end.x[stroke->parameter[k]] = row->shared[k];
		memcpy(stroke->own, row->own, sizeof stroke->own);
	}
}

/* At what the session was made with, the readings differ by their errors alone: the sum of their
 * squares is chi-square distributed; four standard deviations are allowed. */
START_TEST(truth_explains_the_readings)
{
	double sum = 0.0, count = 0.0;

	start_from_truth();
	for (size_t i = 0; i < problem.stroke_count; i++) {
		const struct stroke_case *stroke = &problem.strokes[i];
		struct stroke_point point = fit_problem_point(stroke, end.x);
		double residuals[RESIDUALS_MAX];

		ck_assert(stroke_case_residuals(stroke, &point, stroke->own, residuals, NULL));
		for (size_t k = 0; k < stroke->readings.residual_count; k++)
			sum += residuals[k] * residuals[k];
		count += (double)stroke->readings.count;
	}
	ck_assert_double_gt(count, 40.0);
	ck_assert_double_eq_tol(sum, count, 4.0 * sqrt(2.0 * count));
}
END_TEST

/* The precision of the run over everything is the inverse of the covariance that the iteration with
 * the strokes' own unknowns eliminated ends with. */
START_TEST(precision_is_that_of_the_eliminated_problem)
{
	size_t size = fit_problem_size(&problem);
	gsl_matrix *precision = gsl_matrix_alloc(size, size);

	start_from_truth();
	ck_assert_int_eq(fit_end_run(&problem, 0, &end), STATUS_OK);
	ck_assert_int_eq(fit_joint_precision(&problem, end.x, precision->data), STATUS_OK);
	ck_assert_int_eq(gsl_linalg_cholesky_decomp1(precision), 0);
	ck_assert_int_eq(gsl_linalg_cholesky_invert(precision), 0);
	for (size_t j = 0; j < size; j++)
		ck_assert_double_eq_tol(sqrt(gsl_matrix_get(precision, j, j)),
		                        sqrt(end.covariance[j * size + j]),
		                        0.01 * sqrt(end.covariance[j * size + j]));
	gsl_matrix_free(precision);
}
END_TEST

/* From the truth, the run over everything ends where the iteration does: within the 0.1 of the cost
 * that the two may leave to gain. */
START_TEST(joint_run_ends_where_the_iteration_does)
{
	static const struct fit_joint_plan plan = {.share = 1.0,
	                                           .tolerance = CUSHION_TOLERANCE,
	                                           .iterations = 40,
	                                           .stream = 77,
	                                           .gain = 0.01};
	double cost;

	start_from_truth();
	ck_assert_int_eq(fit_joint_run(&problem, &plan, end.x, &cost), STATUS_OK);
	ck_assert_int_eq(fit_end_run(&problem, 0, &end), STATUS_OK);
	ck_assert_double_eq_tol(end.result.cost, cost, 0.1);
}
END_TEST

/* The search, which knows nothing of the truth, ends no worse than a run from there, and at the same
 * place each time. */
START_TEST(search_ends_as_well_as_from_the_truth)
{
	size_t size = fit_problem_size(&problem);
	double *first = calloc(size, sizeof *first);
	double from_truth, searched;

	ck_assert_ptr_nonnull(first);
	start_from_truth();
	ck_assert_int_eq(fit_search_polish(&problem, &end, &from_truth), STATUS_OK);
	from_truth = fit_evidence(&problem, end.x);
	ck_assert(isfinite(from_truth));
	ck_assert_int_eq(fit_search(&problem, &end), STATUS_OK);
	searched = fit_evidence(&problem, end.x);
	ck_assert_double_le(searched, from_truth + 1.5);
	memcpy(first, end.x, size * sizeof *first);
	memset(end.x, 0, size * sizeof *first);
	ck_assert_int_eq(fit_search(&problem, &end), STATUS_OK);
	ck_assert_mem_eq(first, end.x, size * sizeof *first);
	free(first);
}
END_TEST

/* Bit for bit: which thread ran what leaves no trace. */
START_TEST(search_does_not_depend_on_the_number_of_threads)
{
	static const unsigned threads[] = {1, 3};
	size_t size = fit_problem_size(&problem);
	double *first = calloc(size, sizeof *first);

	ck_assert_ptr_nonnull(first);
	for (int k = 0; k < 2; k++) {
		memset(end.x, 0, size * sizeof *first);
		problem.threads = threads[k];
		ck_assert_int_eq(fit_search(&problem, &end), STATUS_OK);
		if (k == 0)
			memcpy(first, end.x, size * sizeof *first);
	}
	ck_assert_mem_eq(first, end.x, size * sizeof *first);
	free(first);
}
END_TEST

/* Of 7 strokes of one shot and 2 of another, with room for 5: both of the second, and of the first
 * the two that stand first and one of the others. */
START_TEST(a_sample_has_some_of_each_shot)
{
	size_t chosen[TRUTHS], of_first = 0, of_second = 0;
	struct fit_problem sample;

	ck_assert_uint_ge(problem.stroke_count, 10);
	for (size_t i = 0; i < problem.stroke_count; i++) {
		problem.strokes[i].used = i < 9;
		problem.strokes[i].parameter[SHARED_AIM] = CONSTANT_COUNT + (i % 4 == 3);
	}
	ck_assert(fit_problem_sample(&problem, 5, &sample, chosen));
	ck_assert_uint_eq(sample.stroke_count, 5);
	for (size_t k = 0; k < sample.stroke_count; k++) {
		of_first += chosen[k] % 4 != 3;
		of_second += chosen[k] % 4 == 3;
		ck_assert(sample.strokes[k].row == problem.strokes[chosen[k]].row);
		ck_assert(k == 0 || chosen[k] > chosen[k - 1]);
	}
	ck_assert_uint_eq(of_first, 3);
	ck_assert_uint_eq(of_second, 2);
	ck_assert_uint_eq(chosen[0], 0);
	ck_assert_uint_eq(chosen[1], 1);
	fit_problem_free(&sample);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("search of a fit");
	TCase *search = tcase_create("search");

	tcase_set_timeout(search, 0);
	tcase_add_checked_fixture(search, setup, teardown);
	tcase_add_test(search, truth_explains_the_readings);
	tcase_add_test(search, precision_is_that_of_the_eliminated_problem);
	tcase_add_test(search, joint_run_ends_where_the_iteration_does);
	tcase_add_test(search, search_ends_as_well_as_from_the_truth);
	tcase_add_test(search, search_does_not_depend_on_the_number_of_threads);
	tcase_add_test(search, a_sample_has_some_of_each_shot);
	suite_add_tcase(suite, search);
	return close_run(suite);
}
