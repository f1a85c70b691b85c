/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "estimate/own_space.h"
#include "physics/cushion.h"

#define SETTLED 0.01   /* cost that a further step promises */
#define SETTLE_STEPS 6

/* Brings a stroke to its best own unknowns by undamped steps; it is linearised there. False where
 * they do not lead down. */
static bool settle_plainly(struct stroke_case *stroke, const struct stroke_point *point)
{
	double before = HUGE_VAL;

	for (int step = 0; step < SETTLE_STEPS; step++) {
		double target[OWN_ACTIVE], predicted;

		if (!stroke_case_linearise(stroke, point, false) || stroke->trial_cost > before ||
		    !own_space_step(stroke, 0.0, target, &predicted))
			return false;
		if (predicted < SETTLED)
			return true;
		before = stroke->trial_cost;
		for (int j = 0; j < stroke->active_count; j++)
			stroke->trial_own[stroke->active[j]] = target[j];
	}
	return false;
}

static bool settle(struct stroke_case *stroke, const struct stroke_point *point)
{
	memcpy(stroke->trial_own, stroke->own, sizeof stroke->own);
	if (settle_plainly(stroke, point))
		return true;
	memcpy(stroke->trial_own, stroke->own, sizeof stroke->own);
	stroke->active_count = 0;
	return stroke_case_settle(stroke, point) && stroke_case_linearise(stroke, point, false);
}

/* Settles a stroke. Its robust loss and the log determinant of 1 + J J'. */
static double stroke_marginal(struct stroke_case *stroke, const double *x)
{
	struct stroke_point point = fit_problem_point(stroke, x);
	double loss, slope;

	if (!settle(stroke, &point))
		return HUGE_VAL;
	memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
	stroke->cost = stroke->trial_cost;
	fit_problem_loss(stroke, stroke->trial_cost, &loss, &slope);
	return loss + own_space_log_determinant(stroke);
}

/* The marginals of all strokes under way. */
struct marginals {
	struct fit_problem *problem;
	const double *x;
	double *strokes;
};

static bool take_marginal(size_t number, void *context)
{
	const struct marginals *marginals = context;

	marginals->strokes[number] =
	    stroke_marginal(&marginals->problem->strokes[number], marginals->x);
	return true;
}

/* Of all strokes in use; HUGE_VAL also when memory is out. */
static double sum_strokes(struct fit_problem *problem, const double *x)
{
	struct marginals marginals = {problem, x, calloc(problem->stroke_count + 1, sizeof(double))};
	double sum = HUGE_VAL;

	if (marginals.strokes != NULL && fit_problem_each(problem, take_marginal, &marginals)) {
		sum = 0.0;
		for (size_t i = 0; i < problem->stroke_count; i++)
			sum += marginals.strokes[i];
	}
	free(marginals.strokes);
	return sum;
}

double fit_marginal(struct fit_problem *problem, const double *x)
{
	double sum = 0.0;

	for (size_t j = 0; j < fit_problem_size(problem); j++)
		sum += x[j] * x[j];
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double excess = fit_problem_excess((enum constant_id)id, x[id]);

		sum += excess * excess;
	}
	fit_problem_set_tolerance(problem, FIT_SEARCH_TOLERANCE);
	sum += sum_strokes(problem, x);
	fit_problem_set_tolerance(problem, CUSHION_TOLERANCE);
	problem->latest[0] = HUGE_VAL;
	return sum;
}
