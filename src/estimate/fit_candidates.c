/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_candidates.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "estimate/fit_joint.h"

/* Of cushion impacts, while readings have little weight. */
#define ROUGH_TOLERANCE 1e-4

/* Random streams of the draws of own unknowns, apart from all others of the search. */
#define STREAM_RUN (UINT64_C(1) << 32)

void candidates_free(struct search *search)
{
	free(search->candidates);
	free(search->x_space);
	free(search->own_space);
}

bool candidates_create(struct search *search, struct fit_problem *problem, struct fit_end *end,
                          size_t count)
{
	size_t size = fit_problem_size(problem), strokes = problem->stroke_count;

	*search = (struct search){.problem = problem,
	                          .end = end,
	                          .size = size,
	                          .candidates = calloc(count, sizeof(struct candidate)),
	                          .x_space = calloc(count * size, sizeof(double)),
	                          .own_space =
	                              calloc(count * strokes + 1, sizeof *search->own_space)};
	if (search->candidates == NULL || search->x_space == NULL || search->own_space == NULL) {
		candidates_free(search);
		return false;
	}
	for (size_t k = 0; k < count; k++)
		search->candidates[k] = (struct candidate){.marginal = HUGE_VAL,
		                                           .x = search->x_space + k * size,
		                                           .own = search->own_space + k * strokes};
	return true;
}

bool candidates_stopped(const struct search *search)
{
	return progress_stopped(search->problem->progress);
}

void candidates_tell(const struct search *search, double done)
{
	const struct fit_problem *problem = search->problem;

	progress_report(problem->progress,
	                problem->progress_from +
	                    done * (problem->progress_to - problem->progress_from),
	                "fitting");
}

/* Brings the problem to a candidate's state. */
void candidates_load(struct search *search, const struct candidate *candidate)
{
	memcpy(search->end->x, candidate->x, search->size * sizeof(double));
	for (size_t i = 0; i < search->problem->stroke_count; i++) {
		struct stroke_case *stroke = &search->problem->strokes[i];

		memcpy(stroke->own, candidate->own[i], sizeof stroke->own);
		stroke->active_count = 0;
		stroke->cost = 0.0;
	}
	search->problem->latest[0] = HUGE_VAL;
}

void candidates_store(const struct search *search, double marginal, struct candidate *candidate)
{
	candidate->marginal = marginal;
	memcpy(candidate->x, search->end->x, search->size * sizeof(double));
	for (size_t i = 0; i < search->problem->stroke_count; i++)
		memcpy(candidate->own[i], search->problem->strokes[i].own,
		       sizeof candidate->own[i]);
}

void candidates_copy(const struct search *search, const struct candidate *from,
                     struct candidate *to)
{
	to->marginal = from->marginal;
	memcpy(to->x, from->x, search->size * sizeof(double));
	memcpy(to->own, from->own, search->problem->stroke_count * sizeof *to->own);
}

enum status candidates_run(struct search *search, const struct candidate_run *run, double *cost)
{
	double share = run->share;
	struct fit_joint_plan plan = {.share = share,
	                              .tolerance =
	                                  share < 0.5 ? ROUGH_TOLERANCE : FIT_SEARCH_TOLERANCE,
	                              .iterations = run->iterations,
	                              .draws = run->draws,
	                              .stream = run->stream * STREAM_RUN,
	                              .gain = share < 0.05 ? 0.3 : 0.05};

	return fit_joint_run(search->problem, &plan, search->end->x, cost);
}
