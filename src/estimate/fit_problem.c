/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_problem.h"

#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "base/parallel.h"
#include "estimate/robust_loss.h"

#define SHARED_FROM 64    /* strokes for which starting threads is worth while */
#define JUMP 1.0         /* cost beyond what a point promises that calls for a search */
#define CLEARLY_BETTER 0.5
#define SEARCHED_FROM 0.7 /* cost per reading below which a stroke is content */
#define CONTENT 0.1       /* probability of its cost above which it is one of many */
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

void fit_problem_set_tolerance(struct fit_problem *problem, double tolerance)
{
	for (size_t i = 0; i < problem->stroke_count; i++)
		problem->strokes[i].tolerance = tolerance;
}

/* Work for each stroke under way. */
struct each {
	const struct fit_problem *problem;
	bool (*work)(size_t number, void *context);
	void *context;
	atomic_bool failed;
};

static void do_each(size_t number, void *context)
{
	struct each *each = context;

	if (!each->problem->strokes[number].used || atomic_load(&each->failed))
		return;
	if (progress_stopped(each->problem->progress) || !each->work(number, each->context))
		atomic_store(&each->failed, true);
}

bool fit_problem_each(const struct fit_problem *problem, bool (*work)(size_t number, void *context),
                      void *context)
{
	struct each each = {.problem = problem, .work = work, .context = context};

	atomic_init(&each.failed, false);
	parallel_run(problem->stroke_count,
	             problem->stroke_count < SHARED_FROM ? 1 : problem->threads, do_each, &each);
	return !atomic_load(&each.failed);
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

/* Residuals or rows of the Jacobian under way. */
struct filling {
	struct fit_problem *problem;
	const double *x;
	double *out;
	const size_t *rows; /* where each stroke's begin */
};

/* Where the residuals of each stroke in use begin, and how many there are, behind the last; NULL when
 * memory is out. */
static size_t *find_rows(const struct fit_problem *problem)
{
	size_t *rows = calloc(problem->stroke_count + 1, sizeof *rows), row = 0;

	for (size_t i = 0; rows != NULL && i < problem->stroke_count; i++) {
		rows[i] = row;
		row += problem->strokes[i].used ? problem->strokes[i].readings.residual_count : 0;
		rows[i + 1] = row;
	}
	return rows;
}

static bool fill_residuals(size_t number, void *context)
{
	const struct filling *filling = context;
	struct stroke_case *stroke = &filling->problem->strokes[number];
	struct stroke_point point = fit_problem_point(stroke, filling->x);
	double *residuals = filling->out + filling->rows[number], factor;

	if (!fit_problem_settle(filling->problem, stroke, &point) ||
	    !stroke_case_reduce(stroke, residuals, NULL))
		return false;
	factor = stroke_factors(stroke, stroke->trial_cost).residual;
	for (size_t k = 0; k < stroke->readings.residual_count; k++)
		residuals[k] *= factor;
	return true;
}

bool fit_problem_residuals(void *context, const double *x, double *residuals)
{
	struct fit_problem *problem = context;
	size_t *rows = find_rows(problem);
	struct filling filling = {problem, x, residuals, rows};
	bool filled;

	tell_progress(problem);
	filled = rows != NULL && fit_problem_each(problem, fill_residuals, &filling);
	if (filled) {
		prior_residuals(problem, x, residuals + rows[problem->stroke_count]);
		memcpy(problem->latest, x, fit_problem_size(problem) * sizeof(double));
	}
	free(rows);
	return filled;
}

/* A stroke searched anew. */
struct searching {
	struct fit_problem *problem;
	const double *x;
	atomic_size_t better;
};

/* Whether a stroke that costs so much is not searched anew. Where there are many, one that is likely
 * may as well stay. */
static bool is_content(const struct fit_problem *problem, const struct stroke_case *stroke,
                       double cost)
{
	double count = (double)stroke->readings.count;

	if (problem->stroke_count <= FIT_LARGE)
		return cost < SEARCHED_FROM * count;
	return cost < count || gsl_cdf_chisq_Q(cost, count) > CONTENT;
}

static bool search_stroke(size_t number, void *context)
{
	struct searching *searching = context;
	struct stroke_case *stroke = &searching->problem->strokes[number];
	struct stroke_point point = fit_problem_point(stroke, searching->x);
	double before;

	memcpy(stroke->trial_own, stroke->own, sizeof stroke->own);
	if (!stroke_case_settle(stroke, &point))
		return true;
	before = stroke->trial_cost;
	if (is_content(searching->problem, stroke, before))
		return true;
	stroke_case_search(stroke, &point, searching->problem->seed);
	if (stroke->trial_cost > before - CLEARLY_BETTER)
		return true;
	memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
	stroke->cost = stroke->trial_cost;
	atomic_fetch_add(&searching->better, 1);
	return true;
}

size_t fit_problem_search(struct fit_problem *problem, const double *x)
{
	struct searching searching = {.problem = problem, .x = x};

	atomic_init(&searching.better, 0);
	fit_problem_each(problem, search_stroke, &searching);
	return atomic_load(&searching.better);
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

static bool settle_stroke(size_t number, void *context)
{
	const struct filling *filling = context;
	struct stroke_case *stroke = &filling->problem->strokes[number];
	struct stroke_point point = fit_problem_point(stroke, filling->x);

	return fit_problem_settle(filling->problem, stroke, &point);
}

/* Brings every stroke's trial fields to x, where the latest residuals were asked for elsewhere. */
static bool bring_to(struct fit_problem *problem, const double *x)
{
	struct filling filling = {problem, x, NULL, NULL};

	if (memcmp(problem->latest, x, fit_problem_size(problem) * sizeof(double)) == 0)
		return true;
	if (!fit_problem_each(problem, settle_stroke, &filling))
		return false;
	memcpy(problem->latest, x, fit_problem_size(problem) * sizeof(double));
	return true;
}

static bool fill_rows(size_t number, void *context)
{
	const struct filling *filling = context;
	struct stroke_case *stroke = &filling->problem->strokes[number];
	struct stroke_point point = fit_problem_point(stroke, filling->x);
	size_t size = fit_problem_size(filling->problem);

	if (!stroke_case_linearise(stroke, &point, true) || !stroke_case_accept(stroke, &point))
		return false;
	stroke_rows(stroke, size, filling->out + filling->rows[number] * size);
	return true;
}

bool fit_problem_jacobian(void *context, const double *x, double *jacobian)
{
	struct fit_problem *problem = context;
	size_t size = fit_problem_size(problem), *rows = find_rows(problem);
	struct filling filling = {problem, x, jacobian, rows};
	bool filled = rows != NULL && bring_to(problem, x) &&
	              fit_problem_each(problem, fill_rows, &filling);

	if (filled)
		prior_rows(problem, x, jacobian + rows[problem->stroke_count] * size);
	free(rows);
	return filled;
}

bool fit_problem_copy(const struct fit_problem *problem, struct fit_problem *copy)
{
	size_t count = problem->stroke_count, size = fit_problem_size(problem);

	*copy = *problem;
	copy->arena = NULL;
	copy->threads = 1;
	copy->strokes = malloc((count + 1) * sizeof *copy->strokes);
	copy->latest = malloc(size * sizeof *copy->latest);
	if (copy->strokes == NULL || copy->latest == NULL) {
		fit_problem_free(copy);
		return false;
	}
	memcpy(copy->strokes, problem->strokes, count * sizeof *copy->strokes);
	copy->latest[0] = HUGE_VAL;
	return true;
}

void fit_problem_free(struct fit_problem *problem)
{
	free(problem->strokes);
	free(problem->latest);
	arena_free(problem->arena);
	*problem = (struct fit_problem){.arena = NULL};
}
