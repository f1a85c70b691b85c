/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/joint_system.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

#include "estimate/own_space.h"

static double sum_squares(const double *values, size_t count)
{
	double sum = 0.0;

	for (size_t i = 0; i < count; i++)
		sum += values[i] * values[i];
	return sum;
}

/* Where a stroke's outer unknown stands among those of the problem; -1: nowhere. */
static int outer_place(const struct stroke_case *stroke, int outer)
{
	return outer < CONSTANT_COUNT ? outer : stroke->parameter[outer - CONSTANT_COUNT];
}

/* Weight of a stroke, from its robust loss. */
static double stroke_weight(const struct stroke_case *stroke)
{
	double cost = sum_squares(stroke->trial_residuals, stroke->readings.residual_count) +
	              sum_squares(stroke->trial_own, OWN_UNKNOWNS);
	double loss, slope;

	fit_problem_loss(stroke, cost, &loss, &slope);
	return slope;
}

/* With v = u + step in place of the step, a stroke's cost is that of r - J u / p + J v with v about 0
 * of precision p = 1 + damping: those residuals at v = 0, and the Cholesky factor of their
 * covariance 1 + J J' / p. */
static void open_stroke(const struct stroke_case *stroke, double precision, double *residuals,
                        gsl_matrix *factor)
{
	size_t count = stroke->readings.residual_count;

	for (size_t i = 0; i < count; i++) {
		residuals[i] = stroke->trial_residuals[i];
		for (int j = 0; j < stroke->active_count; j++)
			residuals[i] -= stroke->by_own[i][j] *
			                stroke->trial_own[stroke->active[j]] / precision;
	}
	own_space_factor(stroke, precision, factor);
}

/* Whitened columns of the outer unknowns that a stroke feels; others are left alone. */
static void whiten_columns(const struct stroke_case *stroke, const gsl_matrix *factor,
                           double columns[STROKE_OUTER][RESIDUALS_MAX])
{
	size_t count = stroke->readings.residual_count;

	for (int j = 0; j < STROKE_OUTER; j++) {
		gsl_vector_view column = gsl_vector_view_array(columns[j], count);

		if (outer_place(stroke, j) < 0)
			continue;
		for (size_t i = 0; i < count; i++)
			columns[j][i] = stroke->by_outer[i][j];
		gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, factor, &column.vector);
	}
}

static void add_stroke(const struct stroke_case *stroke, size_t size, double precision,
                       double *matrix, double *gradient)
{
	size_t count = stroke->readings.residual_count;
	double space[RESIDUALS_MAX * RESIDUALS_MAX], e[RESIDUALS_MAX];
	double columns[STROKE_OUTER][RESIDUALS_MAX];
	gsl_matrix_view factor = gsl_matrix_view_array(space, count, count);
	gsl_vector_view view = gsl_vector_view_array(e, count);
	double weight = stroke_weight(stroke);

	open_stroke(stroke, precision, e, &factor.matrix);
	gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &factor.matrix, &view.vector);
	whiten_columns(stroke, &factor.matrix, columns);
	for (int j = 0; j < STROKE_OUTER; j++) {
		int at = outer_place(stroke, j);

		if (at < 0)
			continue;
		for (size_t i = 0; i < count; i++)
			gradient[at] += weight * columns[j][i] * e[i];
		for (int k = 0; k < STROKE_OUTER; k++) {
			int other = outer_place(stroke, k);

			if (other < 0)
				continue;
			for (size_t i = 0; i < count; i++)
				matrix[(size_t)at * size + (size_t)other] +=
				    weight * columns[j][i] * columns[k][i];
		}
	}
}

void joint_system_fill(const struct fit_problem *problem, const double *x, double damping,
                       double *matrix, double *gradient)
{
	size_t size = fit_problem_size(problem);

	memset(matrix, 0, size * size * sizeof *matrix);
	for (size_t j = 0; j < size; j++) {
		gradient[j] = x[j];
		matrix[j * size + j] = 1.0 + damping;
	}
	for (size_t id = 0; id < CONSTANT_COUNT; id++) {
		double excess = fit_problem_excess((enum constant_id)id, x[id]);

		gradient[id] += excess / FIT_LIMIT_SLACK;
		if (excess != 0.0)
			matrix[id * size + id] += 1.0 / (FIT_LIMIT_SLACK * FIT_LIMIT_SLACK);
	}
	for (size_t i = 0; i < problem->stroke_count; i++)
		if (problem->strokes[i].used)
			add_stroke(&problem->strokes[i], size, 1.0 + damping, matrix, gradient);
}

bool joint_system_solve(size_t size, double *matrix, const double *gradient, double *step)
{
	gsl_matrix_view factor = gsl_matrix_view_array(matrix, size, size);
	gsl_vector_view solution = gsl_vector_view_array(step, size);

	if (gsl_linalg_cholesky_decomp1(&factor.matrix) != 0)
		return false;
	for (size_t j = 0; j < size; j++)
		step[j] = -gradient[j];
	gsl_linalg_cholesky_svx(&factor.matrix, &solution.vector);
	for (size_t j = 0; j < size; j++)
		if (!isfinite(step[j]))
			return false;
	return true;
}

double joint_system_own_step(const struct stroke_case *stroke, const double *outer_step,
                             double damping, double step[OWN_ACTIVE], double *foretold)
{
	size_t count = stroke->readings.residual_count;
	double space[RESIDUALS_MAX * RESIDUALS_MAX], a[RESIDUALS_MAX], left = 0.0;
	gsl_matrix_view factor = gsl_matrix_view_array(space, count, count);
	gsl_vector_view view = gsl_vector_view_array(a, count);

	open_stroke(stroke, 1.0 + damping, a, &factor.matrix);
	for (size_t i = 0; i < count; i++) {
		double change = 0.0;

		for (int j = 0; j < STROKE_OUTER; j++)
			if (outer_place(stroke, j) >= 0)
				change += stroke->by_outer[i][j] * outer_step[outer_place(stroke, j)];
		a[i] += change;
		foretold[i] = stroke->trial_residuals[i] + change;
	}
	gsl_linalg_cholesky_svx(&factor.matrix, &view.vector);
	for (int j = 0; j < stroke->active_count; j++) {
		double own = stroke->trial_own[stroke->active[j]], sum = -own;

		for (size_t i = 0; i < count; i++)
			sum -= stroke->by_own[i][j] * a[i];
		step[j] = sum / (1.0 + damping);
		left += (own + step[j]) * (own + step[j]);
		for (size_t i = 0; i < count; i++)
			foretold[i] += stroke->by_own[i][j] * step[j];
	}
	return left + sum_squares(foretold, count);
}
