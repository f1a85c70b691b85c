/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_problem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "estimate/robust_loss.h"

#define JUMP 1.0         /* cost beyond what a point promises that calls for a search */
#define CLEARLY_BETTER 0.5
#define SEARCHED_FROM 0.7 /* cost per reading below which a stroke is content */
#define ROBUST_PROBABILITY 0.005 /* a stroke less likely than this counts for less */

size_t fit_problem_size(const struct fit_problem *problem)
{
	return CONSTANT_COUNT + problem->shared_count;
}

size_t fit_problem_count(const struct fit_problem *problem)
{
	size_t count = fit_problem_size(problem) + CONSTANT_COUNT;

	for (size_t i = 0; i < problem->stroke_count; i++)
		if (problem->strokes[i].used)
			count += problem->strokes[i].readings.residual_count;
	return count;
}

struct stroke_point fit_problem_point(const struct stroke_case *stroke, const double *x)
{
	struct stroke_point point;

	memcpy(point.constants, x, sizeof point.constants);
	for (int k = 0; k < SHARED_UNKNOWNS; k++)
		point.shared[k] = stroke->parameter[k] >= 0 ? x[stroke->parameter[k]] : 0.0;
	return point;
}

/* Cost up to which a stroke is likely. */
static double likely_cost(const struct stroke_case *stroke)
{
	return gsl_cdf_chisq_Qinv(ROBUST_PROBABILITY, (double)stroke->readings.count);
}

void fit_problem_loss(const struct stroke_case *stroke, double cost, double *value, double *slope)
{
	struct robust_loss loss = {.value = cost, .slope = 1.0};

	/* What is below its mean is likely. */
	if (cost > (double)stroke->readings.count)
		loss = robust_loss(cost, likely_cost(stroke));
	*value = loss.value;
	*slope = loss.slope;
}

/* Factors of a whole stroke's loss: its cost as it is while that is likely, growing only as its
 * root beyond. */
static struct robust_factors stroke_factors(const struct stroke_case *stroke, double cost)
{
	return robust_factors(cost, likely_cost(stroke));
}

/* Whether a stroke costs much more than it should at a point: than is likely at all where there is
 * no accepted point yet, than the accepted point promises where there is one. */
static bool cost_jumped(const struct stroke_case *stroke, const struct stroke_point *point)
{
	if (!(stroke->cost > 0.0))
		return stroke->trial_cost > stroke_case_suspect(stroke);
	return stroke->trial_cost > stroke->cost + JUMP &&
	       stroke->trial_cost > stroke_case_promise(stroke, point) + JUMP;
}

bool fit_problem_settle(struct fit_problem *problem, struct stroke_case *stroke,
                        const struct stroke_point *point)
{
	memcpy(stroke->trial_own, stroke->own, sizeof stroke->own);
	if (!stroke_case_settle(stroke, point))
		return false;
	if (cost_jumped(stroke, point))
		stroke_case_search(stroke, point, problem->seed);
	return true;
}

double fit_problem_excess(enum constant_id id, double standardised)
{
	const struct constant_prior *prior = constant_prior(id);
	double low = prior_coordinate(id, prior->lowest);
	double high = prior->highest < 1.0 || prior->scale == SCALE_LOG
	                  ? prior_coordinate(id, prior->highest)
	                  : HUGE_VAL;

	if (standardised < low)
		return (standardised - low) / FIT_LIMIT_SLACK;
	return standardised > high ? (standardised - high) / FIT_LIMIT_SLACK : 0.0;
}

static void prior_residuals(const struct fit_problem *problem, const double *x, double *residuals)
{
	size_t size = fit_problem_size(problem);

	memcpy(residuals, x, size * sizeof(double));
	for (int id = 0; id < CONSTANT_COUNT; id++)
		residuals[size + (size_t)id] = fit_problem_excess((enum constant_id)id, x[id]);
}

static void tell_progress(struct fit_problem *problem)
{
	/* How many evaluations a fit takes is not known: approach the end, never reach it. */
	double done = 1.0 - exp(-(double)problem->evaluations / 20.0);

	problem->evaluations++;
	progress_report(problem->progress,
	                problem->progress_from +
	                    done * (problem->progress_to - problem->progress_from),
	                "fitting");
}

bool fit_problem_residuals(void *context, const double *x, double *residuals)
{
	struct fit_problem *problem = context;
	size_t row = 0;

	tell_progress(problem);
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];
		struct stroke_point point = fit_problem_point(stroke, x);
		double factor;

		if (!stroke->used)
			continue;
		if (progress_stopped(problem->progress) || !fit_problem_settle(problem, stroke, &point) ||
		    !stroke_case_reduce(stroke, residuals + row, NULL))
			return false;
		factor = stroke_factors(stroke, stroke->trial_cost).residual;
		for (size_t k = 0; k < stroke->readings.residual_count; k++)
			residuals[row + k] *= factor;
		row += stroke->readings.residual_count;
	}
	prior_residuals(problem, x, residuals + row);
	memcpy(problem->latest, x, fit_problem_size(problem) * sizeof(double));
	return true;
}

size_t fit_problem_search(struct fit_problem *problem, const double *x)
{
	size_t better = 0;

	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];
		struct stroke_point point = fit_problem_point(stroke, x);
		double before;

		memcpy(stroke->trial_own, stroke->own, sizeof stroke->own);
		if (!stroke->used || progress_stopped(problem->progress) ||
		    !stroke_case_settle(stroke, &point))
			continue;
		before = stroke->trial_cost;
		if (before < SEARCHED_FROM * (double)stroke->readings.count)
			continue;
		stroke_case_search(stroke, &point, problem->seed);
		if (stroke->trial_cost > before - CLEARLY_BETTER)
			continue;
		memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
		stroke->cost = stroke->trial_cost;
		better++;
	}
	return better;
}

/* Rows of the Jacobian for one stroke at its accepted point. */
static void stroke_rows(const struct stroke_case *stroke, size_t size, double *rows)
{
	double factor = stroke_factors(stroke, stroke->cost).derivative;

	memset(rows, 0, stroke->readings.residual_count * size * sizeof(double));
	for (size_t i = 0; i < stroke->readings.residual_count; i++) {
		const double *by_outer = stroke->reduced_slope[i];

		for (int j = 0; j < CONSTANT_COUNT; j++)
			rows[i * size + (size_t)j] = factor * by_outer[j];
		for (int k = 0; k < SHARED_UNKNOWNS; k++)
			if (stroke->parameter[k] >= 0)
				rows[i * size + (size_t)stroke->parameter[k]] +=
				    factor * by_outer[CONSTANT_COUNT + k];
	}
}

static void prior_rows(const struct fit_problem *problem, const double *x, double *rows)
{
	size_t size = fit_problem_size(problem);

	memset(rows, 0, (size + CONSTANT_COUNT) * size * sizeof(double));
	for (size_t j = 0; j < size; j++)
		rows[j * size + j] = 1.0;
	for (size_t id = 0; id < CONSTANT_COUNT; id++)
		if (fit_problem_excess((enum constant_id)id, x[id]) != 0.0)
			rows[(size + id) * size + id] = 1.0 / FIT_LIMIT_SLACK;
}

/* Brings every stroke's trial fields to x, where the latest residuals were asked for elsewhere. */
static bool bring_to(struct fit_problem *problem, const double *x)
{
	if (memcmp(problem->latest, x, fit_problem_size(problem) * sizeof(double)) == 0)
		return true;
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_point point = fit_problem_point(&problem->strokes[i], x);

		if (problem->strokes[i].used && !fit_problem_settle(problem, &problem->strokes[i], &point))
			return false;
	}
	memcpy(problem->latest, x, fit_problem_size(problem) * sizeof(double));
	return true;
}

bool fit_problem_jacobian(void *context, const double *x, double *jacobian)
{
	struct fit_problem *problem = context;
	size_t size = fit_problem_size(problem), row = 0;

	if (!bring_to(problem, x))
		return false;
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];
		struct stroke_point point = fit_problem_point(stroke, x);

		if (!stroke->used)
			continue;
		if (progress_stopped(problem->progress) ||
		    !stroke_case_linearise(stroke, &point, true) ||
		    !stroke_case_accept(stroke, &point))
			return false;
		stroke_rows(stroke, size, jacobian + row * size);
		row += stroke->readings.residual_count;
	}
	prior_rows(problem, x, jacobian + row * size);
	return true;
}

void fit_problem_free(struct fit_problem *problem)
{
	free(problem->strokes);
	free(problem->latest);
	arena_free(problem->arena);
	*problem = (struct fit_problem){.arena = NULL};
}
