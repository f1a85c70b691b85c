/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/set_aside.h"

#include <gsl/gsl_linalg.h>

/* What the other strokes and the priors foretell of a stroke. A stroke that has a say in the
 * constants looks likelier than it is: the fit came some way to meet it. Taken out of a linear fit,
 * its residuals e and the covariance of what is foretold follow from the fit with it (deletion
 * diagnostics: Cook & Weisberg, Residuals and Influence in Regression (1982), value from memory). */

/* Covariance that the outer unknowns give the reduced residuals, A = W P W'. */
static void outer_covariance(const struct stroke_case *stroke, const double *covariance,
                             size_t size, double *a)
{
	size_t count = stroke->readings.residual_count;
	int place[STROKE_OUTER];

	for (int o = 0; o < STROKE_OUTER; o++)
		place[o] = o < CONSTANT_COUNT ? o : stroke->parameter[o - CONSTANT_COUNT];
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < count; k++) {
			double sum = 0.0;

			for (int o = 0; o < STROKE_OUTER; o++)
				for (int p = 0; p < STROKE_OUTER; p++)
					if (place[o] >= 0 && place[p] >= 0)
						sum += stroke->reduced_slope[i][o] *
						       stroke->reduced_slope[k][p] *
						       covariance[(size_t)place[o] * size +
						                  (size_t)place[p]];
			a[i * count + k] = sum;
		}
}

/* solution = (1 + factor A)^-1 e. False when that is not positive definite. */
static bool solve(const double *a, double factor, const double *e, size_t count, double *solution)
{
	double space[RESIDUALS_MAX * RESIDUALS_MAX];
	gsl_matrix_view matrix = gsl_matrix_view_array(space, count, count);
	gsl_vector_const_view right = gsl_vector_const_view_array(e, count);
	gsl_vector_view out = gsl_vector_view_array(solution, count);

	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < count; k++)
			space[i * count + k] = factor * a[i * count + k] + (i == k ? 1.0 : 0.0);
	return gsl_linalg_cholesky_decomp1(&matrix.matrix) == 0 &&
	       gsl_linalg_cholesky_solve(&matrix.matrix, &right.vector, &out.vector) == 0;
}

/* With the stroke's weight w in the fit (its loss's slope) the foretold residuals are
 * (1 - w A)^-1 e, and their covariance is 1 + A (1 - w A)^-1. */
static double foretold_cost(const struct stroke_case *stroke, const double *covariance, size_t size)
{
	size_t count = stroke->readings.residual_count;
	double a[RESIDUALS_MAX * RESIDUALS_MAX], ahead[RESIDUALS_MAX], behind[RESIDUALS_MAX];
	double loss, weight, sum = 0.0;

	fit_problem_loss(stroke, stroke->cost, &loss, &weight);
	outer_covariance(stroke, covariance, size, a);
	if (!solve(a, -weight, stroke->reduced, count, ahead) ||
	    !solve(a, 1.0 - weight, stroke->reduced, count, behind))
		return 0.0;
	for (size_t i = 0; i < count; i++)
		sum += ahead[i] * behind[i];
	return sum;
}

void set_aside_foretell(struct fit_problem *problem, const double *covariance)
{
	for (size_t i = 0; i < problem->stroke_count; i++)
		if (problem->strokes[i].used)
			problem->strokes[i].foretold =
			    foretold_cost(&problem->strokes[i], covariance, fit_problem_size(problem));
}
