/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_dense.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <cminpack.h>

#include "../reference/differences.h"

#define STEP 0.02 /* largest of the differences [standard deviations a priori] */

/* --- the problem ---------------------------------------------------------------------------- */

/* The outer unknowns that a stroke feels. */
static struct stroke_point stroke_outer(const struct stroke_case *stroke, const double *unknowns)
{
	struct stroke_point point;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		point.constants[id] = unknowns[id];
	for (int kind = 0; kind < SHARED_UNKNOWNS; kind++)
		point.shared[kind] =
		    stroke->parameter[kind] < 0 ? 0.0 : unknowns[stroke->parameter[kind]];
	return point;
}

/* The residuals of one stroke's readings; NaN where it cannot be played. */
static void stroke_residuals(const struct dense_stroke *part, const double *unknowns,
                             double *residuals)
{
	struct stroke_point point = stroke_outer(part->stroke, unknowns);
	double own[OWN_UNKNOWNS] = {0.0};

	for (size_t j = 0; j < part->own_count; j++)
		own[part->own[j]] = unknowns[part->first_own + j];
	if (!stroke_case_residuals(part->stroke, &point, own, residuals, NULL))
		for (size_t i = 0; i < part->stroke->readings.residual_count; i++)
			residuals[i] = (double)NAN;
}

/* Lists the own unknowns of a stroke. */
static bool list_own(struct dense_stroke *part, const struct stroke_point *point)
{
	const struct stroke_case *stroke = part->stroke;
	double residuals[RESIDUALS_MAX];
	struct shot_record record;

	if (stroke->readings.residual_count > DIFFERENCES_MOST ||
	    !stroke_case_residuals(stroke, point, stroke->own, residuals, &record))
		return false;
	for (int i = 0; i < OWN_STROKE; i++)
		part->own[part->own_count++] = i;
	for (int ball = 0; ball < BALL_ROLES; ball++)
		for (int k = 0; k < SHOT_IRREGULAR && (unsigned)k < record.impacts[ball]; k++) {
			part->own[part->own_count++] = own_irregular(ball, k);
			part->own[part->own_count++] = own_irregular(ball, k) + 1;
		}
	return true;
}

bool dense_problem_create(struct dense_problem *dense, const struct fit_problem *problem,
                          const double *x)
{
	*dense = (struct dense_problem){.outer_count = fit_problem_size(problem)};
	dense->unknown_count = dense->outer_count;
	dense->strokes = calloc(problem->stroke_count, sizeof *dense->strokes);
	if (dense->strokes == NULL)
		return false;
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct dense_stroke *part = &dense->strokes[dense->stroke_count];
		struct stroke_point point;

		if (!problem->strokes[i].used)
			continue;
		part->stroke = &problem->strokes[i];
		point = stroke_outer(part->stroke, x);
		if (!list_own(part, &point))
			return false;
		part->first_own = dense->unknown_count;
		part->first_residual = dense->residual_count;
		dense->unknown_count += part->own_count;
		dense->residual_count += part->stroke->readings.residual_count;
		dense->stroke_count++;
	}
	dense->residual_count += dense->unknown_count;
	return true;
}

void dense_problem_free(struct dense_problem *dense)
{
	free(dense->strokes);
	*dense = (struct dense_problem){.strokes = NULL};
}

void dense_problem_start(const struct dense_problem *dense, const double *x, double *unknowns)
{
	memcpy(unknowns, x, dense->outer_count * sizeof *unknowns);
	for (size_t i = 0; i < dense->stroke_count; i++) {
		const struct dense_stroke *part = &dense->strokes[i];

		for (size_t j = 0; j < part->own_count; j++)
			unknowns[part->first_own + j] = part->stroke->own[part->own[j]];
	}
}

/* --- residuals and derivatives --------------------------------------------------------------- */

static bool all_residuals(const struct dense_problem *dense, const double *unknowns,
                          double *residuals)
{
	size_t readings = dense->residual_count - dense->unknown_count;

	for (size_t i = 0; i < dense->stroke_count; i++)
		stroke_residuals(&dense->strokes[i], unknowns,
		                 residuals + dense->strokes[i].first_residual);
	memcpy(residuals + readings, unknowns, dense->unknown_count * sizeof *residuals);
	for (size_t i = 0; i < readings; i++)
		if (!isfinite(residuals[i]))
			return false;
	return true;
}

/* A stroke at a point, for differences. */
struct shifted {
	const struct dense_stroke *part;
	double *unknowns;
};

static void shifted_residuals(const void *context, int changed, double shift, double *values)
{
	const struct shifted *shifted = context;
	double before = shifted->unknowns[changed];

	shifted->unknowns[changed] = before + shift;
	stroke_residuals(shifted->part, shifted->unknowns, values);
	shifted->unknowns[changed] = before;
}

/* The column of one unknown in the rows of one stroke; the Jacobian stands by columns. */
static void fill_column(const struct dense_problem *dense, const struct shifted *shifted,
                        size_t unknown, double *jacobian)
{
	double slopes[DIFFERENCES_MOST];
	size_t count = shifted->part->stroke->readings.residual_count;
	double *column = jacobian + unknown * dense->residual_count;

	differences(shifted_residuals, shifted, (int)unknown, STEP, (int)count, slopes);
	memcpy(column + shifted->part->first_residual, slopes, count * sizeof *slopes);
}

/* unknowns: changed on the way and put back. */
static void fill_jacobian(const struct dense_problem *dense, double *unknowns, double *jacobian)
{
	size_t rows = dense->residual_count, readings = rows - dense->unknown_count;

	memset(jacobian, 0, rows * dense->unknown_count * sizeof *jacobian);
	for (size_t i = 0; i < dense->stroke_count; i++) {
		const struct dense_stroke *part = &dense->strokes[i];
		struct shifted shifted = {part, unknowns};

		for (size_t id = 0; id < CONSTANT_COUNT; id++)
			fill_column(dense, &shifted, id, jacobian);
		for (int kind = 0; kind < SHARED_UNKNOWNS; kind++)
			if (part->stroke->parameter[kind] >= 0)
				fill_column(dense, &shifted, (size_t)part->stroke->parameter[kind],
				            jacobian);
		for (size_t j = 0; j < part->own_count; j++)
			fill_column(dense, &shifted, part->first_own + j, jacobian);
	}
	for (size_t j = 0; j < dense->unknown_count; j++)
		jacobian[j * rows + readings + j] = 1.0;
}

/* --- cminpack -------------------------------------------------------------------------------- */

struct workspace {
	const struct dense_problem *dense;
	int rows, columns;
	int *pivots;
	double *residuals, *jacobian, *diagonal, *lengths, *moved, *numbers;
};

static int evaluate(void *context, int rows, int columns, const double *unknowns, double *residuals,
                    double *jacobian, int leading, int wish)
{
	struct workspace *space = context;

	(void)rows;
	(void)leading;
	if (wish == 1)
		return all_residuals(space->dense, unknowns, residuals) ? 0 : -1;
	memcpy(space->moved, unknowns, (size_t)columns * sizeof *unknowns);
	fill_jacobian(space->dense, space->moved, jacobian);
	return 0;
}

static bool workspace_create(struct workspace *space, const struct dense_problem *dense)
{
	size_t rows = dense->residual_count, columns = dense->unknown_count;

	*space = (struct workspace){.dense = dense, .rows = (int)rows, .columns = (int)columns};
	space->pivots = calloc(columns, sizeof *space->pivots);
	space->residuals = calloc(rows, sizeof(double));
	space->jacobian = calloc(rows * columns, sizeof(double));
	space->diagonal = calloc(columns, sizeof(double));
	space->lengths = calloc(columns, sizeof(double));
	space->moved = calloc(columns, sizeof(double));
	space->numbers = calloc(4 * columns + rows, sizeof(double));
	return space->pivots != NULL && space->residuals != NULL && space->jacobian != NULL &&
	       space->diagonal != NULL && space->lengths != NULL && space->moved != NULL &&
	       space->numbers != NULL;
}

static void workspace_free(struct workspace *space)
{
	free(space->pivots);
	free(space->residuals);
	free(space->jacobian);
	free(space->diagonal);
	free(space->lengths);
	free(space->moved);
	free(space->numbers);
}

/* The inverse of J'J at a point, from a factorisation of the whole Jacobian. */
static void invert_normal(struct workspace *space, const double *unknowns, double *covariance)
{
	size_t rows = (size_t)space->rows, columns = (size_t)space->columns;

	memcpy(space->moved, unknowns, columns * sizeof *unknowns);
	fill_jacobian(space->dense, space->moved, space->jacobian);
	qrfac(space->rows, space->columns, space->jacobian, space->rows, 1, space->pivots,
	      space->columns, space->diagonal, space->lengths, space->numbers);
	for (size_t j = 0; j < columns; j++) {
		memcpy(covariance + j * columns, space->jacobian + j * rows,
		       j * sizeof *covariance);
		covariance[j * columns + j] = space->diagonal[j];
	}
	covar(space->columns, covariance, space->columns, space->pivots, 0.0, space->numbers);
}

static bool minimise(struct workspace *space, double *unknowns)
{
	size_t columns = (size_t)space->columns;
	double *numbers = space->numbers;
	int calls, jacobians, end;

	for (size_t j = 0; j < columns; j++)
		space->diagonal[j] = 1.0;
	end = lmder(evaluate, space, space->rows, space->columns, unknowns, space->residuals,
	            space->jacobian, space->rows, 1e-14, 1e-10, 0.0, 200, space->diagonal, 2, 1.0,
	            0, &calls, &jacobians, space->pivots, space->lengths, numbers,
	            numbers + columns, numbers + 2 * columns, numbers + 3 * columns);
	/* 1 to 3: the sum of squares, the unknowns or both stay; 6 to 8: as exactly as they can. */
	return (end >= 1 && end <= 3) || (end >= 6 && end <= 8);
}

bool dense_problem_solve(const struct dense_problem *dense, double *unknowns, double *cost,
                         double *covariance)
{
	struct workspace space;
	bool done = workspace_create(&space, dense) && minimise(&space, unknowns);

	if (done) {
		double length = enorm(space.rows, space.residuals);

		*cost = length * length;
		invert_normal(&space, unknowns, covariance);
	}
	workspace_free(&space);
	return done;
}
