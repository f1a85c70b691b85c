/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_snapshot.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

#include "estimate/fit_search.h"

#define CLEARLY_WORSE 1.0 /* of minus twice the logarithm */

static size_t count_used(const struct fit_problem *problem)
{
	size_t used = 0;

	for (size_t i = 0; i < problem->stroke_count; i++)
		used += problem->strokes[i].used;
	return used;
}

bool fit_snapshot_take(struct fit_snapshot *snapshot, struct fit_problem *problem,
                       const struct fit_end *end)
{
	size_t size = fit_problem_size(problem);

	snapshot->marginal = fit_marginal(problem, end->x);
	snapshot->used = count_used(problem);
	snapshot->x = calloc(size, sizeof *snapshot->x);
	snapshot->own = calloc(problem->stroke_count + 1, sizeof *snapshot->own);
	if (snapshot->x == NULL || snapshot->own == NULL)
		return false;
	memcpy(snapshot->x, end->x, size * sizeof *snapshot->x);
	for (size_t i = 0; i < problem->stroke_count; i++)
		memcpy(snapshot->own[i], problem->strokes[i].own, sizeof snapshot->own[i]);
	return true;
}

void fit_snapshot_free(struct fit_snapshot *snapshot)
{
	free(snapshot->x);
	free(snapshot->own);
	*snapshot = (struct fit_snapshot){.x = NULL};
}

bool fit_snapshot_was_better(const struct fit_snapshot *snapshot, struct fit_problem *problem,
                             const struct fit_end *end)
{
	return snapshot->used == count_used(problem) &&
	       fit_marginal(problem, end->x) > snapshot->marginal + CLEARLY_WORSE;
}

/* Cost and covariance at end->x. space: residuals, then the Jacobian. */
static enum status linearise(struct fit_problem *problem, double *space, struct fit_end *end)
{
	size_t size = fit_problem_size(problem), count = fit_problem_count(problem);
	gsl_vector_view residuals = gsl_vector_view_array(space, count);
	gsl_matrix_view jacobian = gsl_matrix_view_array(space + count, count, size);
	gsl_matrix_view normal = gsl_matrix_view_array(end->covariance, size, size);

	if (!fit_problem_residuals(problem, end->x, space) ||
	    !fit_problem_jacobian(problem, end->x, space + count))
		return progress_stopped(problem->progress) ? STATUS_OK : STATUS_INTERNAL;
	gsl_blas_ddot(&residuals.vector, &residuals.vector, &end->result.cost);
	gsl_blas_dgemm(CblasTrans, CblasNoTrans, 1.0, &jacobian.matrix, &jacobian.matrix, 0.0,
	               &normal.matrix);
	/* The priors are among the residuals: the matrix is at least the identity. */
	if (gsl_linalg_cholesky_decomp1(&normal.matrix) != 0 ||
	    gsl_linalg_cholesky_invert(&normal.matrix) != 0)
		return STATUS_INTERNAL;
	end->result.rank = size;
	end->result.covariance_known = true;
	return STATUS_OK;
}

enum status fit_snapshot_restore(const struct fit_snapshot *snapshot, struct fit_problem *problem,
                                 struct fit_end *end)
{
	size_t size = fit_problem_size(problem), count = fit_problem_count(problem);
	double *space = calloc(count * (size + 1), sizeof *space);
	enum status status;

	if (space == NULL)
		return STATUS_SYSTEM;
	memcpy(end->x, snapshot->x, size * sizeof *end->x);
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];

		memcpy(stroke->own, snapshot->own[i], sizeof stroke->own);
		stroke->active_count = 0;
		stroke->cost = 0.0;
	}
	end->result.stop = LEAST_SQUARES_CONVERGED;
	status = linearise(problem, space, end);
	free(space);
	return status;
}
