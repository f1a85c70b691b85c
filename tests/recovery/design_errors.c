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

bool design_expected_errors(const struct protocol *protocol, const struct session *session,
                            double errors[CONSTANT_COUNT], const char **why)
{
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
		*why = "a shot cannot be set up, or gives no reading";
		if (repeated.rows != NULL &&
		    fit_problem_create(&problem, &input, 1, 1, &faults) == STATUS_OK) {
			size_t size = fit_problem_size(&problem);

			sum = information(&problem);
			fit_problem_free(&problem);
			*why = "the fit cannot be linearised at the design";
			done = sum != NULL && errors_from_information(sum, size, errors);
		}
		free(sum);
		free(repeated.rows);
		measurement_free(&exact);
	}
	fault_list_free(&faults);
	return done;
}
