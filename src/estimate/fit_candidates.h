/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_CANDIDATES_H
#define RESTPOINT_ESTIMATE_FIT_CANDIDATES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "estimate/fit_end.h"
#include "estimate/fit_problem.h"

/* The states that a search compares, and the runs between them. Internal to src/estimate. */

/* A state of the whole problem. */
struct candidate {
	double marginal; /* or the cost at a smaller share of the readings' weights */
	double *x;
	double (*own)[OWN_UNKNOWNS];
};

struct search {
	struct fit_problem *problem;
	struct fit_end *end; /* the state at hand, with the strokes' own unknowns */
	size_t size;
	size_t count; /* candidates, best first */
	struct candidate *candidates;
	double *x_space;
	double (*own_space)[OWN_UNKNOWNS];
};

/* Room for `count` candidates of a problem, all at HUGE_VAL. False when memory is out; else release
 * with candidates_free. */
bool candidates_create(struct search *search, struct fit_problem *problem, struct fit_end *end,
                       size_t count);
void candidates_free(struct search *search);

/* Whether the work should stop. */
bool candidates_stopped(const struct search *search);

/* Tells how much of the search is done, in [0, 1]. */
void candidates_tell(const struct search *search, double done);

/* Brings the problem to a candidate's state, or takes the present one. */
void candidates_load(struct search *search, const struct candidate *candidate);
void candidates_store(const struct search *search, double marginal, struct candidate *candidate);

void candidates_copy(const struct search *search, const struct candidate *from,
                     struct candidate *to);

/* How a run goes (estimate/fit_joint.h). */
struct candidate_run {
	double share; /* of the readings' weights */
	size_t iterations, draws;
	uint64_t stream; /* of random numbers; another one for each run */
};

/* Runs from the state at hand. */
enum status candidates_run(struct search *search, const struct candidate_run *run, double *cost);

/* Does work for each index below count, shared among several threads, each with a problem of its
 * own that stands for search->problem: worker is a search of no candidates but those of `search`,
 * of which a piece of work may change its own only. The result does not depend on the number of
 * threads. STATUS_OK, STATUS_SYSTEM, or what a piece of work returned, the first by index. */
enum status candidates_share_work(struct search *search, size_t count,
                                  enum status (*work)(struct search *worker, size_t index,
                                                      void *context),
                                  void *context);

#endif
