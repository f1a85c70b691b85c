/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/own_space.h"

#include <math.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

/* Cholesky factor of C = 1 + J J' in its lower triangle. */
static void covariance_factor(const struct stroke_case *stroke, gsl_matrix *factor)
{
	size_t count = stroke->readings.residual_count;

	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k <= i; k++) {
			double sum = i == k ? 1.0 : 0.0;

			for (int j = 0; j < stroke->active_count; j++)
				sum += stroke->by_own[i][j] * stroke->by_own[k][j];
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

bool own_space_target(const struct stroke_case *stroke, double target[OWN_ACTIVE],
                      double *predicted)
{
	size_t count = stroke->readings.residual_count;
	double factor_space[RESIDUALS_MAX * RESIDUALS_MAX], vector_space[RESIDUALS_MAX];
	double unmoved_space[RESIDUALS_MAX], best = 0.0;
	gsl_matrix_view factor = gsl_matrix_view_array(factor_space, count, count);
	gsl_vector_view weighted = gsl_vector_view_array(vector_space, count);
	gsl_vector_view unmoved = gsl_vector_view_array(unmoved_space, count);

	covariance_factor(stroke, &factor.matrix);
	unmoved_residuals(stroke, &unmoved.vector);
	if (gsl_linalg_cholesky_solve(&factor.matrix, &unmoved.vector, &weighted.vector) != 0)
		return false;
	gsl_blas_ddot(&unmoved.vector, &weighted.vector, &best);
	for (int j = 0; j < stroke->active_count; j++) {
		target[j] = 0.0;
		for (size_t i = 0; i < count; i++)
			target[j] -= stroke->by_own[i][j] * vector_space[i];
	}
	*predicted = stroke->trial_cost - best;
	return isfinite(*predicted);
}

bool stroke_case_reduce(const struct stroke_case *stroke, double *e,
                        double (*whitened)[STROKE_OUTER])
{
	size_t count = stroke->readings.residual_count;
	double factor_space[RESIDUALS_MAX * RESIDUALS_MAX], size = 0.0;
	gsl_matrix_view factor = gsl_matrix_view_array(factor_space, count, count);
	gsl_vector_view reduced = gsl_vector_view_array(e, count);

	covariance_factor(stroke, &factor.matrix);
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

		gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &factor.matrix, &column.vector);
	}
	return true;
}
