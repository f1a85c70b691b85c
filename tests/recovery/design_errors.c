/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "design.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#include "estimate/fit_problem.h"
#include "estimate/simulate.h"

/* Expected standard errors: the fit of a session without noise, linearised at the truth. */

/* Every try of every shot with the readings of its design, exact. */
static struct stroke_row *repeat_rows(const struct protocol *protocol,
                                      const struct measurement *exact)
{
	struct stroke_row *rows = calloc(design_strokes(protocol) + 1, sizeof *rows);
	size_t count = 0;

	for (size_t i = 0; rows != NULL && i < protocol->shot_count; i++)
		for (int k = 0; k < protocol->shots[i].tries; k++) {
			struct stroke_row *row = &rows[count++];

			*row = exact->rows[i];
			row->try_number = k + 1;
			row->line = count + 1;
			for (int number = 0; number < QUANTITY_COUNT; number++)
				if (!(protocol->shots[i].measure & (UINT32_C(1) << number)))
					row->readings[number].kind = READING_MISSING;
		}
	return rows;
}

/* Every second row is played with ball B in place of A as the cue ball. */
static void play_by_turns(struct stroke_row *rows, size_t count)
{
	for (size_t i = 1; i < count; i += 2)
		rows[i].ball[BALL_CUE] = "B";
}

/* J'J of the problem at the middle of all priors; size * size, to be freed. NULL on failure. */
static double *information(struct fit_problem *problem)
{
	size_t size = fit_problem_size(problem), count = fit_problem_count(problem);
	double *x = calloc(size, sizeof *x), *residuals = calloc(count, sizeof *residuals);
	double *jacobian = calloc(count * size, sizeof *jacobian);
	double *sum = calloc(size * size, sizeof *sum);
	bool done = x != NULL && residuals != NULL && jacobian != NULL && sum != NULL &&
	            fit_problem_residuals(problem, x, residuals) &&
	            fit_problem_jacobian(problem, x, jacobian);

	for (size_t i = 0; done && i < count; i++)
		for (size_t j = 0; j < size; j++)
			for (size_t k = 0; k < size; k++)
				sum[j * size + k] +=
				    jacobian[i * size + j] * jacobian[i * size + k];
	free(jacobian);
	free(residuals);
	free(x);
	if (done)
		return sum;
	free(sum);
	return NULL;
}

/* Standard errors of the constants, relative to their values at the middle of the priors. */
static bool errors_from_information(double *sum, size_t size, double errors[CONSTANT_COUNT])
{
	gsl_matrix_view matrix = gsl_matrix_view_array(sum, size, size);

	gsl_set_error_handler_off();
	if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0 ||
	    gsl_linalg_cholesky_invert(&matrix.matrix) != 0)
		return false;
	for (size_t i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);

		errors[i] = sqrt(sum[i * size + i]) * prior->spread *
		            constant_scale_slope((enum constant_id)i, prior->centre) /
		            prior->centre;
	}
	return true;
}

/* Standard deviation of the logarithm of the grip of ball B. */
static bool grip_from_information(const struct fit_problem *problem, double *sum, double *error)
{
	size_t size = fit_problem_size(problem);
	gsl_matrix_view matrix = gsl_matrix_view_array(sum, size, size);

	gsl_set_error_handler_off();
	if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0 ||
	    gsl_linalg_cholesky_invert(&matrix.matrix) != 0)
		return false;
	for (size_t i = 0; i < problem->shared_count; i++) {
		size_t at = (CONSTANT_COUNT + i) * (size + 1);

		if (problem->shared[i].kind != SHARED_GRIP ||
		    strcmp(problem->shared[i].shot, "B") != 0)
			continue;
		*error = GRIP_SPREAD * sqrt(sum[at]);
		return true;
	}
	return false;
}

/* The exact session of a protocol, every try of it; with_grip: by turns with balls A and B. */
static bool solve(const struct protocol *protocol, const struct session *session, bool with_grip,
                  double *errors, const char **why)
{
	const struct fit_options options = {.seed = 1, .wants = {.grips = with_grip}};
	struct constants centre = constants_centre();
	struct measurement exact, repeated;
	struct fit_input input = {&repeated, protocol};
	struct fit_problem problem;
	struct fault_list faults;
	double *sum = NULL;
	bool done = false;

	*why = "memory is out";
	if (fault_list_create(&faults) != STATUS_OK)
		return false;
	if (simulate_session(protocol, session, &centre, 1, false, &exact) == STATUS_OK) {
		repeated = exact;
		repeated.row_count = design_strokes(protocol);
		repeated.rows = repeat_rows(protocol, &exact);
		if (repeated.rows != NULL && with_grip)
			play_by_turns(repeated.rows, repeated.row_count);
		*why = "a shot cannot be set up, or gives no reading";
		if (repeated.rows != NULL && fit_problem_create_with(&problem, &input, 1, &options,
		                                                     &faults) == STATUS_OK) {
			sum = information(&problem);
			*why = "the fit cannot be linearised at the design";
			done = sum != NULL &&
			       (with_grip ? grip_from_information(&problem, sum, errors)
			                  : errors_from_information(
						sum, fit_problem_size(&problem), errors));
			fit_problem_free(&problem);
		}
		free(sum);
		free(repeated.rows);
		measurement_free(&exact);
	}
	fault_list_free(&faults);
	return done;
}

bool design_expected_errors(const struct protocol *protocol, const struct session *session,
                            double errors[CONSTANT_COUNT], const char **why)
{
	return solve(protocol, session, false, errors, why);
}

bool design_expected_grip(const struct protocol *protocol, const struct session *session,
                          double *error, const char **why)
{
	return solve(protocol, session, true, error, why);
}
