/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>

#include "../reference/close.h"
#include "../unit/fit_support.h"
#include "../unit/session_support.h"
#include "estimate/jacobian.h"
#include "estimate/least_squares.h"
#include "estimate/own_space.h"
#include "outside_dense.h"

/* The fit, which eliminates each stroke's own unknowns and searches in the outer ones alone,
 * against cminpack on the whole problem at once: the same minimum and, by the identity of Schur's
 * complement, the same covariance of the outer unknowns. */

#define RELATIVE 1e-5      /* standard errors, and covariances over their product */
#define SAME_COST 1e-9     /* relative */
#define SAME_END 1e-5      /* of the outer unknowns [standard errors] */
#define START_BESIDE 0.05  /* [standard deviations a priori] */
#define NOTHING_LEFT 1e-13 /* of a cost */
#define SEARCHES 10
#define ROUNDS 100
#define SHORTER 0.25 /* share of a step where whole ones lead away: residuals bend */

/* A fit run to its exact end: the program itself stops where hardly anything is left to gain. */
struct exact_end {
	struct fit_problem problem;
	size_t size, count; /* of outer unknowns, of reduced residuals */
	double *x, *covariance;
	gsl_vector *residuals;
	gsl_matrix *jacobian;
	struct jacobian_analysis *analysis;
	double cost;
};

static void end_create(const struct fit_input *input, struct exact_end *end)
{
	struct fault_list faults;

	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(fit_problem_create(&end->problem, input, 1, 1, &faults), STATUS_OK);
	fault_list_free(&faults);
	end->size = fit_problem_size(&end->problem);
	end->count = fit_problem_count(&end->problem);
	end->x = calloc(end->size, sizeof *end->x);
	end->covariance = calloc(end->size * end->size, sizeof *end->covariance);
	end->residuals = gsl_vector_calloc(end->count);
	end->jacobian = gsl_matrix_calloc(end->count, end->size);
	end->analysis = jacobian_analysis_create(end->count, end->size);
	ck_assert(end->x != NULL && end->covariance != NULL && end->residuals != NULL &&
	          end->jacobian != NULL && end->analysis != NULL);
}

/* The fit's iteration from the middle of the priors, with its searches, to where it finds nothing
 * better. */
static void run_near(struct exact_end *end)
{
	struct least_squares_problem squares = {.size = end->size,
	                                        .count = end->count,
	                                        .residuals = fit_problem_residuals,
	                                        .jacobian = fit_problem_jacobian,
	                                        .context = &end->problem};
	struct least_squares_options tight = {
	    .iterations = 200, .step_tolerance = 1e-6, .gradient_tolerance = 1e-5};
	struct least_squares_result result;
	size_t better = 1;

	for (int round = 0; round < SEARCHES && better > 0; round++) {
		end->problem.latest[0] = HUGE_VAL; /* equal to no point */
		ck_assert_int_eq(
		    least_squares_fit(&squares, &tight, end->x, end->covariance, &result),
		    STATUS_OK);
		better = fit_problem_search(&end->problem, end->x);
	}
	ck_assert_uint_eq(better, 0);
}

/* The best own unknowns of a stroke at a point, by steps of its elimination: the fit leaves a
 * millionth of the cost, which is a thousandth of a standard deviation. */
static void settle_fully(struct stroke_case *stroke, const struct stroke_point *point)
{
	double target[OWN_ACTIVE], left = HUGE_VAL, share = 1.0;

	memcpy(stroke->trial_own, stroke->own, sizeof stroke->own);
	for (int round = 0; round < ROUNDS && left > NOTHING_LEFT; round++) {
		double before = left;

		ck_assert(stroke_case_linearise(stroke, point, false));
		ck_assert(own_space_step(stroke, 0.0, target, &left));
		share = left < before ? share : SHORTER;
		for (int j = 0; j < stroke->active_count; j++) {
			double *own = &stroke->trial_own[stroke->active[j]];

			*own += share * (target[j] - *own);
		}
	}
	ck_assert(stroke_case_linearise(stroke, point, false));
	memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
}

/* Settles all strokes at x and takes residuals and Jacobian there; what a step would still gain. */
static double look_at(struct exact_end *end)
{
	for (size_t i = 0; i < end->problem.stroke_count; i++) {
		struct stroke_case *stroke = &end->problem.strokes[i];
		struct stroke_point point = fit_problem_point(stroke, end->x);

		settle_fully(stroke, &point);
	}
	ck_assert(fit_problem_residuals(&end->problem, end->x, end->residuals->data));
	ck_assert(fit_problem_jacobian(&end->problem, end->x, end->jacobian->data));
	ck_assert(jacobian_analyse(end->analysis, end->jacobian, end->residuals));
	ck_assert_uint_eq(jacobian_rank(end->analysis), end->size);
	jacobian_covariance(end->analysis, end->covariance);
	return jacobian_promise(end->analysis);
}

/* A step of Gauss and Newton, or a share of one. */
static void step(struct exact_end *end, double share)
{
	for (size_t j = 0; j < end->size; j++)
		for (size_t i = 0; i < end->count; i++)
			for (size_t k = 0; k < end->size; k++)
				end->x[j] -= share * end->covariance[j * end->size + k] *
				             gsl_matrix_get(end->jacobian, i, k) *
				             gsl_vector_get(end->residuals, i);
}

static void fit_exactly(const struct fit_input *input, struct exact_end *end)
{
	double left, share = 1.0;

	end_create(input, end);
	run_near(end);
	left = look_at(end);
	for (int round = 0; round < ROUNDS && left > NOTHING_LEFT; round++) {
		double before = left;

		step(end, share);
		left = look_at(end);
		share = left < before ? share : SHORTER;
	}
	gsl_blas_ddot(end->residuals, end->residuals, &end->cost);
	ck_assert_double_le(left, NOTHING_LEFT);
}

static void exact_end_free(struct exact_end *end)
{
	free(end->x);
	free(end->covariance);
	gsl_vector_free(end->residuals);
	gsl_matrix_free(end->jacobian);
	jacobian_analysis_free(end->analysis);
	fit_problem_free(&end->problem);
}

/* What the dense problem does not have: no stroke counts for less than it costs (those less likely
 * than 1 in 200 do), no constant is at its hard limits. */
static int count_special(struct exact_end *end)
{
	size_t limits = fit_problem_count(&end->problem) - CONSTANT_COUNT;
	int special = 0;

	for (size_t i = 0; i < end->problem.stroke_count; i++) {
		const struct stroke_case *stroke = &end->problem.strokes[i];
		double p = gsl_cdf_chisq_Q(stroke->cost, (double)stroke->readings.count);

		special += close_false(stroke->row->shot, stroke->row->try_number,
		                       "likely enough to count in full", p > 0.005);
	}
	for (size_t id = 0; id < CONSTANT_COUNT; id++)
		special += close_false("constant", (int)id, "within its hard limits",
		                       gsl_vector_get(end->residuals, limits + id) == 0.0);
	return special;
}

/* Compares minimum, end and covariance of the outer unknowns. */
static int compare(const struct exact_end *end, const struct dense_problem *dense,
                   const double *unknowns, double cost, const double *covariance)
{
	size_t size = dense->outer_count;
	int misses = close_miss("minimum", 0, "sum of squares", cost, end->cost, SAME_COST * cost);

	for (size_t i = 0; i < size; i++) {
		double wanted = sqrt(covariance[i * dense->unknown_count + i]);
		double got = sqrt(end->covariance[i * size + i]);

		misses += close_miss("outer unknown", (int)i, "end", unknowns[i], end->x[i],
		                     SAME_END * wanted);
		misses += close_miss("outer unknown", (int)i, "standard error", wanted, got,
		                     RELATIVE * wanted);
		for (size_t k = 0; k < i; k++) {
			double other = sqrt(covariance[k * dense->unknown_count + k]);

			misses +=
			    close_miss("covariance", (int)i, "with an earlier one",
			               covariance[i * dense->unknown_count + k],
			               end->covariance[i * size + k], RELATIVE * wanted * other);
		}
	}
	return misses;
}

static int compare_session(const char *name, uint64_t seed)
{
	char path[64];
	struct protocol protocol;
	struct measurement measurement;
	struct fit_input input = {&measurement, &protocol};
	struct dense_problem dense;
	struct exact_end end;
	double *unknowns, *covariance, cost;
	int misses;

	snprintf(path, sizeof path, "protocols/%s.json", name);
	session_support_protocol(session_support_path(path), &protocol);
	fit_support_session(&protocol, seed, name, &measurement);
	fit_exactly(&input, &end);
	misses = count_special(&end);
	ck_assert(dense_problem_create(&dense, &end.problem, end.x));
	unknowns = calloc(dense.unknown_count, sizeof *unknowns);
	covariance = calloc(dense.unknown_count * dense.unknown_count, sizeof *covariance);
	ck_assert(unknowns != NULL && covariance != NULL);
	dense_problem_start(&dense, end.x, unknowns);
	for (size_t j = 0; j < dense.unknown_count; j++)
		unknowns[j] += START_BESIDE * sin(1.7 * (double)j);
	ck_assert(dense_problem_solve(&dense, unknowns, &cost, covariance));
	misses += compare(&end, &dense, unknowns, cost, covariance);
	free(unknowns);
	free(covariance);
	dense_problem_free(&dense);
	exact_end_free(&end);
	measurement_free(&measurement);
	protocol_free(&protocol);
	return misses;
}

/* Sessions chosen so that every stroke counts in full and none of them ends on an edge between two
 * courses of the balls, where there is no derivative and either method may stop on either side: of
 * the seeds from 1, about one in four. */
START_TEST(session_by_hand)
{
	ck_assert_int_eq(compare_session("usual", 17), 0);
}
END_TEST

START_TEST(session_by_phone)
{
	ck_assert_int_eq(compare_session("phone", 5), 0);
}
END_TEST

START_TEST(session_with_watch)
{
	ck_assert_int_eq(compare_session("full", 4), 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("fit against an outside solver");
	TCase *dense = tcase_create("one dense problem");

	tcase_add_test(dense, session_by_hand);
	tcase_add_test(dense, session_by_phone);
	tcase_add_test(dense, session_with_watch);
	suite_add_tcase(suite, dense);
	return close_run(suite);
}
