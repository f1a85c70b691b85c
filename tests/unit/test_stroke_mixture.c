/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include <gsl/gsl_deriv.h>
#include <gsl/gsl_eigen.h>

#include "base/random.h"
#include "estimate/own_draws.h"
#include "estimate/stroke_mixture.h"
#include "session_support.h"
#include "stroke_rows.h"

/* The marginal likelihood of one stroke against plain Monte Carlo over its own unknowns, drawn from
 * their prior (what it means by definition), against Laplace's method where that is exact, and its
 * derivatives against differences. Strokes of protocols/usual.json: a roll up and down the table,
 * a stop shot (which bends: the cue ball stops, follows or draws) and a kick off two rails. */

#define PLAYS 6000
#define SEED 5

static struct protocol protocol;
static struct stroke_rows rows;
static double *x, *work;
static struct stroke_mixture mixture;

static void setup(void)
{
	session_support_protocol(session_support_path("protocols/usual.json"), &protocol);
	stroke_rows_play(&rows, &protocol, NULL, 23, true);
	stroke_rows_build(&rows);
	x = calloc(fit_problem_size(&rows.problem), sizeof *x);
	ck_assert_ptr_nonnull(x);
}

static void teardown(void)
{
	stroke_mixture_free(&mixture);
	stroke_rows_free(&rows);
	protocol_free(&protocol);
	free(x);
	free(work);
}

static void make(struct stroke_case *stroke)
{
	struct stroke_point point = fit_problem_point(stroke, x);

	stroke_mixture_free(&mixture);
	ck_assert(stroke_mixture_make(&mixture, stroke, &point, SEED, stroke->own));
	free(work);
	work = calloc(stroke_mixture_work(&mixture), sizeof *work);
	ck_assert_ptr_nonnull(work);
}

struct estimate_of {
	double log, error; /* relative: 1 sd of the log */
};

/* The mean likelihood over plays with own unknowns from their prior, plus the floor. */
static struct estimate_of by_plays(const struct stroke_case *stroke, uint64_t seed)
{
	struct stroke_point point = fit_problem_point(stroke, x);
	struct random_stream stream = random_start(seed, 1);
	double sum = 0.0, squares = 0.0, mean;

	for (int k = 0; k < PLAYS; k++) {
		double own[OWN_UNKNOWNS], residuals[RESIDUALS_MAX], cost = 0.0;

		for (int j = 0; j < OWN_UNKNOWNS; j++)
			own[j] = random_normal(&stream);
		if (!stroke_case_residuals(stroke, &point, own, residuals, NULL))
			continue;
		for (size_t i = 0; i < stroke->readings.residual_count; i++)
			cost += residuals[i] * residuals[i];
		sum += exp(-0.5 * cost);
		squares += exp(-cost);
	}
	mean = sum / PLAYS + exp(mixture.floor);
	return (struct estimate_of){log(mean), sqrt(squares - sum * sum / PLAYS) / PLAYS / mean};
}

/* The error of the weighted draws that the mixture was made from. */
static double draws_error(const struct stroke_case *stroke)
{
	struct stroke_point point = fit_problem_point(stroke, x);
	struct own_draws *draws = calloc(1, sizeof *draws);
	double sum = 0.0, squares = 0.0, count;

	ck_assert_ptr_nonnull(draws);
	ck_assert(own_draws_make(stroke, &point, SEED, draws));
	count = (double)draws->count;
	for (size_t k = 0; k < draws->count; k++) {
		sum += exp(draws->draws[k].log_weight);
		squares += exp(2.0 * draws->draws[k].log_weight);
	}
	free(draws);
	return sqrt(squares - sum * sum / count) / sum;
}

/* Within 3 standard errors of both, for every stroke; and over all strokes the squares of the
 * distances in standard errors are not more than chi-square allows at 0.1 % (11 strokes: 31.26,
 * from any table). */
START_TEST(own_point_as_by_plays)
{
	double squares = 0.0;
	int misses = 0;

	ck_assert_uint_eq(rows.problem.stroke_count, 11);
	x[SLIDING_FRICTION] = 0.13;
	x[ROLLING_RESISTANCE] = -0.07;
	for (size_t k = 0; k < rows.problem.stroke_count; k++) {
		struct stroke_case *stroke = &rows.problem.strokes[k];
		struct estimate_of plays;
		double error = draws_error(stroke), got;

		make(stroke);
		plays = by_plays(stroke, k);
		error = hypot(error, plays.error);
		got = stroke_mixture_log(&mixture, x, NULL, work, NULL);
		squares += pow((got - plays.log) / error, 2.0);
		misses += close_miss(stroke->row->shot, stroke->row->try_number, "log likelihood",
		                     plays.log, got, 3.0 * error);
		misses += close_false(stroke->row->shot, stroke->row->try_number,
		                      "the error is small", error < 0.3);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_double_lt(squares, 31.26);
}
END_TEST

/* Half a standard deviation of the prior away from where it was made, in each constant that the
 * stroke feels: within 3 standard errors and FAR_OFF. Away from its point the mixture is an
 * approximation; FAR_OFF is a tenth of what a standard deviation is worth in log likelihood (1/2),
 * with which 11 strokes shift nothing by much where their errors differ in sign. */
#define FAR_OFF 0.05

START_TEST(away_as_by_plays)
{
	static const char *const shots[] = {"lag", "stop-and-draw", "running-kick",
	                                    "stop-and-draw"};
	static const int tries[] = {1, 1, 2, 3};
	static const enum constant_id ids[] = {SLIDING_FRICTION, ROLLING_RESISTANCE,
	                                       CUSHION_RESTITUTION};
	int misses = 0;

	for (int s = 0; s < 4; s++)
		for (int k = 0; k < 6; k++) {
			struct stroke_case *stroke = stroke_rows_find(&rows, shots[s], tries[s]);
			struct estimate_of plays;
			double error = draws_error(stroke);

			make(stroke);
			x[ids[k / 2]] = k % 2 ? 0.5 : -0.5;
			plays = by_plays(stroke, (uint64_t)(100 + k));
			misses += close_miss(shots[s], k, "log likelihood", plays.log,
			                     stroke_mixture_log(&mixture, x, NULL, work, NULL),
			                     3.0 * hypot(error, plays.error) + FAR_OFF);
			x[ids[k / 2]] = 0.0;
		}
	ck_assert_int_eq(misses, 0);
}
END_TEST

struct along {
	size_t unknown;
	double *at;
};

static double log_along(double value, void *context)
{
	struct along *along = context;
	double kept = along->at[along->unknown], result;

	along->at[along->unknown] = value;
	result = stroke_mixture_log(&mixture, along->at, NULL, work, NULL);
	along->at[along->unknown] = kept;
	return result;
}

/* The gradient is that of the value: five-point differences with their own error estimate. */
START_TEST(gradient_is_that_of_the_value)
{
	size_t size = fit_problem_size(&rows.problem);
	double *gradient = calloc(size, sizeof *gradient), largest = 0.0;
	int misses = 0;

	ck_assert_ptr_nonnull(gradient);
	for (size_t k = 0; k < rows.problem.stroke_count; k++) {
		memset(x, 0, size * sizeof *x);
		make(&rows.problem.strokes[k]);
		for (size_t j = 0; j < size; j++) {
			x[j] = 0.17 * sin(1.0 + (double)(3 * j + k));
			gradient[j] = 0.0;
		}
		stroke_mixture_log(&mixture, x, gradient, work, NULL);
		for (size_t j = 0; j < size; j++) {
			struct along along = {j, x};
			gsl_function function = {log_along, &along};
			double slope, error;

			gsl_deriv_central(&function, x[j], 1e-3, &slope, &error);
			misses += close_miss("gradient", (int)j, rows.problem.strokes[k].row->shot,
			                     slope, gradient[j], error + 1e-8);
			largest = fmax(largest, fabs(slope));
		}
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_double_gt(largest, 0.5);
	free(gradient);
}
END_TEST

/* Strokes of a hundredth of the spreads, read a hundred times as well: bends count a hundred times
 * less. (Not those that meet a rail, whose unevenness stays what it is.) */
static void make_linear(void)
{
	struct reading_errors errors = session_default().errors;

	errors.position *= 0.01;
	errors.rail *= 0.01;
	for (size_t i = 0; i < protocol.shot_count; i++) {
		protocol.shots[i].launch.speed_spread *= 0.01;
		protocol.shots[i].launch.height_spread *= 0.01;
		protocol.shots[i].launch.side_spread *= 0.01;
		protocol.shots[i].aim.spread_deg *= 0.01;
	}
	stroke_rows_free(&rows);
	stroke_rows_play(&rows, &protocol, &errors, 29, true);
	stroke_rows_build(&rows);
}

/* Of C = 1 + J J', for two residuals. */
static double determinant(const struct stroke_case *stroke)
{
	double first = 1.0, second = 1.0, mixed = 0.0;

	ck_assert_uint_eq(stroke->readings.residual_count, 2);
	for (int j = 0; j < stroke->active_count; j++) {
		first += stroke->by_own[0][j] * stroke->by_own[0][j];
		second += stroke->by_own[1][j] * stroke->by_own[1][j];
		mixed += stroke->by_own[0][j] * stroke->by_own[1][j];
	}
	return first * second - mixed * mixed;
}

/* Of a linear stroke the marginal is exactly -(cost + log det C)/2 (Laplace), within 3 standard
 * errors of the draws and LINEAR_OFF, what is left of the bends. */
#define LINEAR_OFF 0.02

START_TEST(linear_stroke_as_laplace)
{
	int misses = 0;

	make_linear();
	for (int k = 1; k <= 3; k++) {
		struct stroke_case *stroke = stroke_rows_find(&rows, "stop-and-draw", k);
		struct stroke_point point = fit_problem_point(stroke, x);
		double error = draws_error(stroke), laplace;

		memset(stroke->trial_own, 0, sizeof stroke->trial_own);
		ck_assert(stroke_case_settle(stroke, &point));
		ck_assert(stroke_case_linearise(stroke, &point, false));
		laplace = -0.5 * (stroke->trial_cost + log(determinant(stroke)));
		make(stroke);
		mixture.floor = -HUGE_VAL;
		misses += close_miss("stop-and-draw", k, "log likelihood", laplace,
		                     stroke_mixture_log(&mixture, x, NULL, work, NULL),
		                     3.0 * error + LINEAR_OFF);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

static double least_eigenvalue(double *matrix, size_t size, double *largest)
{
	gsl_matrix_view view = gsl_matrix_view_array(matrix, size, size);
	gsl_vector *values = gsl_vector_alloc(size);
	gsl_eigen_symm_workspace *space = gsl_eigen_symm_alloc(size);
	double least;

	ck_assert(values != NULL && space != NULL);
	gsl_eigen_symm(&view.matrix, values, space);
	gsl_vector_minmax(values, &least, largest);
	gsl_eigen_symm_free(space);
	gsl_vector_free(values);
	return least;
}

/* A sum of squares has no negative eigenvalue. */
START_TEST(normal_matrix_is_semidefinite)
{
	size_t size = fit_problem_size(&rows.problem);
	double *normal = calloc(size * size, sizeof *normal), largest;

	ck_assert_ptr_nonnull(normal);
	for (size_t k = 0; k < rows.problem.stroke_count; k++) {
		memset(normal, 0, size * size * sizeof *normal);
		make(&rows.problem.strokes[k]);
		stroke_mixture_normal(&mixture, size, normal);
		for (size_t i = 0; i < size; i++)
			for (size_t j = 0; j < i; j++)
				ck_assert_double_eq_tol(normal[i * size + j], normal[j * size + i],
				                        1e-12);
		ck_assert_double_gt(least_eigenvalue(normal, size, &largest), -1e-12 * largest);
		ck_assert_double_gt(largest, 0.01);
	}
	free(normal);
}
END_TEST

/* Of a linear stroke the marginal is normal: the second derivatives of its log are the normal
 * matrix, negative; within 2 % of its largest element for what is left of the bends. */
START_TEST(normal_matrix_is_the_curvature)
{
	size_t size;
	double *normal, *up, *down, largest = 0.0;
	int misses = 0;

	make_linear();
	size = fit_problem_size(&rows.problem);
	normal = calloc(size * size + 2 * size, sizeof *normal);
	ck_assert_ptr_nonnull(normal);
	up = normal + size * size;
	down = up + size;
	make(stroke_rows_find(&rows, "stop-and-draw", 2));
	mixture.floor = -HUGE_VAL;
	stroke_mixture_normal(&mixture, size, normal);
	for (size_t i = 0; i < size; i++)
		largest = fmax(largest, normal[i * size + i]);
	for (size_t j = 0; j < size; j++) {
		memset(up, 0, 2 * size * sizeof *up);
		x[j] = 1e-4;
		stroke_mixture_log(&mixture, x, up, work, NULL);
		x[j] = -1e-4;
		stroke_mixture_log(&mixture, x, down, work, NULL);
		x[j] = 0.0;
		for (size_t i = 0; i < size; i++)
			misses += close_miss("curvature", (int)(i * size + j), "element",
			                     normal[i * size + j], (down[i] - up[i]) / 2e-4,
			                     0.02 * largest);
	}
	ck_assert_int_eq(misses, 0);
	free(normal);
}
END_TEST

/* The stroke of that shot, as designed and read exactly, or read `off` diamonds beside. */
static double share_of(const char *shot, double off, double *pull)
{
	size_t size = fit_problem_size(&rows.problem);
	double *gradient, share;
	struct stroke_case *stroke;

	stroke_rows_free(&rows);
	stroke_rows_play(&rows, &protocol, NULL, 23, false);
	for (size_t i = 0; i < rows.measurement.row_count; i++)
		for (int number = 0; number < QUANTITY_COUNT; number++)
			rows.measurement.rows[i].readings[number].value += off;
	stroke_rows_build(&rows);
	stroke = stroke_rows_find(&rows, shot, 1);
	gradient = calloc(size, sizeof *gradient);
	ck_assert_ptr_nonnull(gradient);
	make(stroke);
	stroke_mixture_log(&mixture, x, gradient, work, &share);
	*pull = 0.0;
	for (size_t j = 0; j < size; j++)
		*pull = fmax(*pull, fabs(gradient[j]));
	free(gradient);
	return share;
}

/* A stop shot misread by 3 diamonds went wrong and pulls at nothing; one as designed went right. */
START_TEST(misread_stroke_counts_for_nothing)
{
	double pull;

	ck_assert_double_gt(share_of("stop-and-draw", 0.0, &pull), 0.99);
	ck_assert_double_lt(share_of("stop-and-draw", -3.0, &pull), 0.01);
	ck_assert_double_lt(pull, 0.01);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("stroke_mixture");
	TCase *cases = tcase_create("stroke_mixture");

	suite_add_tcase(suite, cases);
	tcase_add_checked_fixture(cases, setup, teardown);
	tcase_add_test(cases, own_point_as_by_plays);
	tcase_add_test(cases, away_as_by_plays);
	tcase_add_test(cases, gradient_is_that_of_the_value);
	tcase_add_test(cases, linear_stroke_as_laplace);
	tcase_add_test(cases, normal_matrix_is_semidefinite);
	tcase_add_test(cases, normal_matrix_is_the_curvature);
	tcase_add_test(cases, misread_stroke_counts_for_nothing);
	return close_run(suite);
}
