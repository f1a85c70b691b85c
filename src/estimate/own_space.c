/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/own_space.h"

#include <math.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

void own_space_factor(const struct stroke_case *stroke, double precision, gsl_matrix *factor)
{
	size_t count = stroke->readings.residual_count;

	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k <= i; k++) {
			double sum = i == k ? 1.0 : 0.0;

			for (int j = 0; j < stroke->active_count; j++)
				sum += stroke->by_own[i][j] * stroke->by_own[k][j] / precision;
			gsl_matrix_set(factor, i, k, sum);
			gsl_matrix_set(factor, k, i, sum);
		}
	/* C is at least the identity, so the factor always exists. */
	gsl_linalg_cholesky_decomp1(factor);
}

/* r - J u: the residuals as they would be with every own unknown at zero. */
static void unmoved_residuals(const struct stroke_case *stroke, gsl_vector *out)
{
	for (size_t i = 0; i < stroke->readings.residual_count; i++) {
		double sum = stroke->trial_residuals[i];

		for (int j = 0; j < stroke->active_count; j++)
			sum -= stroke->by_own[i][j] * stroke->trial_own[stroke->active[j]];
		gsl_vector_set(out, i, sum);
	}
}

/* Half the gradient of the cost by the active own unknowns, J' r + u. */
static void half_gradient(const struct stroke_case *stroke, double gradient[OWN_ACTIVE])
{
	for (int j = 0; j < stroke->active_count; j++) {
		gradient[j] = stroke->trial_own[stroke->active[j]];
		for (size_t i = 0; i < stroke->readings.residual_count; i++)
			gradient[j] += stroke->by_own[i][j] * stroke->trial_residuals[i];
	}
}

bool own_space_step(const struct stroke_case *stroke, double damping, double target[OWN_ACTIVE],
                    double *predicted)
{
	size_t count = stroke->readings.residual_count;
	double factor_space[RESIDUALS_MAX * RESIDUALS_MAX], image_space[RESIDUALS_MAX];
	double gradient[OWN_ACTIVE], promise = 0.0, precision = 1.0 + damping;
	gsl_matrix_view factor = gsl_matrix_view_array(factor_space, count, count);
	gsl_vector_view image = gsl_vector_view_array(image_space, count);

	/* (p 1 + J'J)^-1 g = (g - J' (1 + J J'/p)^-1 J g / p) / p, with p the precision. */
	half_gradient(stroke, gradient);
	own_space_factor(stroke, precision, &factor.matrix);
	for (size_t i = 0; i < count; i++) {
		image_space[i] = 0.0;
		for (int j = 0; j < stroke->active_count; j++)
			image_space[i] += stroke->by_own[i][j] * gradient[j] / precision;
	}
	if (gsl_linalg_cholesky_svx(&factor.matrix, &image.vector) != 0)
		return false;
	for (int j = 0; j < stroke->active_count; j++) {
		double step = gradient[j];

		for (size_t i = 0; i < count; i++)
			step -= stroke->by_own[i][j] * image_space[i];
		target[j] = stroke->trial_own[stroke->active[j]] - step / precision;
		promise += gradient[j] * step / precision;
	}
	if (predicted != NULL)
		*predicted = promise;
	return isfinite(promise);
}

bool stroke_case_reduce(const struct stroke_case *stroke, double *e,
                        double (*whitened)[STROKE_OUTER])
{
	size_t count = stroke->readings.residual_count;
	double factor_space[RESIDUALS_MAX * RESIDUALS_MAX], size = 0.0;
	gsl_matrix_view factor = gsl_matrix_view_array(factor_space, count, count);
	gsl_vector_view reduced = gsl_vector_view_array(e, count);

	own_space_factor(stroke, 1.0, &factor.matrix);
	unmoved_residuals(stroke, &reduced.vector);
	gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &factor.matrix, &reduced.vector);
	gsl_blas_ddot(&reduced.vector, &reduced.vector, &size);
	if (!isfinite(size))
		return false;
	/* Exactly the cost, also where the linearisation is a little stale. */
	if (size > 0.0)
		gsl_vector_scale(&reduced.vector, sqrt(stroke->trial_cost / size));
	if (whitened == NULL)
		return true;
	for (size_t i = 0; i < count; i++)
		for (int j = 0; j < STROKE_OUTER; j++)
			whitened[i][j] = stroke->by_outer[i][j];
	for (int j = 0; j < STROKE_OUTER; j++) {
		gsl_vector_view column =
		    gsl_vector_view_array_with_stride(&whitened[0][j], STROKE_OUTER, count);

		if (j >= CONSTANT_COUNT && stroke->parameter[j - CONSTANT_COUNT] < 0)
			continue; /* all zero */

		gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &factor.matrix, &column.vector);
	}
	return true;
}

double own_space_log_determinant(const struct stroke_case *stroke)
{
	size_t count = stroke->readings.residual_count;
	double space[RESIDUALS_MAX * RESIDUALS_MAX], sum = 0.0;
	gsl_matrix_view factor = gsl_matrix_view_array(space, count, count);

	own_space_factor(stroke, 1.0, &factor.matrix);
	for (size_t i = 0; i < count; i++)
		sum += 2.0 * log(gsl_matrix_get(&factor.matrix, i, i));
	return sum;
}
