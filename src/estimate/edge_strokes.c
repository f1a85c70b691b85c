/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/edge_strokes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PROBE 0.5          /* standard errors along the wished step */
#define EDGE_EXCESS 0.05   /* cost beyond the promise that tells an edge */
#define LARGEST_SHARE 0.2

static const char edge_reason[] =
    "lies on the edge between two courses of the balls (a kiss or a rail just met or just missed), "
    "where the smallest change moves it by a jump";

/* The undamped step from x, scaled to PROBE standard errors. False when it cannot be told. */
static bool wished_step(struct fit_problem *problem, const double *x, const double *covariance,
                        double *space, double *step, double *promise)
{
	size_t size = fit_problem_size(problem), count = fit_problem_count(problem);
	double *residuals = space, *jacobian = space + count, *gradient = jacobian + count * size;
	double length = 0.0;

	if (!fit_problem_residuals(problem, x, residuals) ||
	    !fit_problem_jacobian(problem, x, jacobian))
		return false;
	for (size_t j = 0; j < size; j++) {
		gradient[j] = 0.0;
		for (size_t i = 0; i < count; i++)
			gradient[j] += residuals[i] * jacobian[i * size + j];
	}
	for (size_t j = 0; j < size; j++) {
		step[j] = 0.0;
		for (size_t k = 0; k < size; k++)
			step[j] -= covariance[j * size + k] * gradient[k];
		length -= gradient[j] * step[j];
	}
	*promise = length;
	if (!(length > 0.0) || !isfinite(length))
		return false;
	for (size_t j = 0; j < size; j++)
		step[j] *= PROBE / sqrt(length);
	return true;
}

static double excess_at(struct fit_problem *problem, struct stroke_case *stroke, const double *x)
{
	struct stroke_point point = fit_problem_point(stroke, x);

	return fit_problem_settle(problem, stroke, &point)
	           ? stroke->trial_cost - stroke_case_promise(stroke, &point)
	           : HUGE_VAL;
}

/* Sets aside the stroke that exceeds its promise most. Returns how many: one or none. */
static size_t mark_edge(struct fit_problem *problem, const double *ahead, const double *behind,
                        const char **reasons)
{
	size_t aside = 0, worst = problem->stroke_count;
	double most = EDGE_EXCESS;

	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];
		double excess;

		aside += !stroke->used;
		if (!stroke->used)
			continue;
		excess = fmax(excess_at(problem, stroke, ahead), excess_at(problem, stroke, behind));
		if (excess > most) {
			most = excess;
			worst = i;
		}
	}
	if (worst == problem->stroke_count ||
	    (double)(aside + 1) > LARGEST_SHARE * (double)problem->stroke_count)
		return 0;
	problem->strokes[worst].used = false;
	reasons[worst] = edge_reason;
	return 1;
}

double edge_strokes_accepted(const struct fit_problem *problem)
{
	return problem->stroke_count > FIT_LARGE
	           ? EDGE_ACCEPTED_OF_MANY * (double)fit_problem_size(problem)
	           : EDGE_ACCEPTED;
}

size_t edge_strokes_set_aside(struct fit_problem *problem, const double *x,
                              const double *covariance, const char **reasons,
                              double *promise)
{
	size_t size = fit_problem_size(problem), count = fit_problem_count(problem);
	double *space = calloc(count + count * size + 4 * size, sizeof *space);
	double *step, *ahead, *behind;
	size_t marked = 0;

	*promise = HUGE_VAL;
	if (space == NULL)
		return 0;
	step = space + count + count * size + size;
	ahead = step + size;
	behind = ahead + size;
	if (wished_step(problem, x, covariance, space, step, promise) &&
	    *promise > edge_strokes_accepted(problem)) {
		for (size_t j = 0; j < size; j++) {
			ahead[j] = x[j] + step[j];
			behind[j] = x[j] - step[j];
		}
		marked = mark_edge(problem, ahead, behind, reasons);
	}
	free(space);
	return marked;
}
