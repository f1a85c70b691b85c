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
	uint64_t runs; /* so far */
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

/* Runs from the state at hand (estimate/fit_joint.h) at a share of the readings' weights. */
enum status candidates_run(struct search *search, double share, size_t iterations, size_t draws,
                           double *cost);

#endif
