/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_OWN_DRAWS_H
#define RESTPOINT_ESTIMATE_OWN_DRAWS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "estimate/stroke_case.h"

/* Draws of one stroke's own unknowns, weighted so that they stand for its likelihood times their
 * prior: importance sampling, which integrates the own unknowns out also where a stroke has several
 * solutions or bends within the spread of one (physics.md 6). */

/* Solutions of a stroke that are told apart. */
#define OWN_SOLUTIONS 3
#define OWN_DRAWS 200 /* at most */

/* One solution: the own unknowns of a local best, linearised there. */
struct own_solution {
	struct stroke_case settled; /* its trial fields, by_own, by_outer and active are those there */
	double factor[RESIDUALS_MAX * RESIDUALS_MAX]; /* Cholesky factor of C = 1 + J J' */
	double log_determinant;                       /* of C */
};

struct own_draw {
	double own[OWN_UNKNOWNS];
	double log_likelihood; /* of the readings, -1/2 of the squared residuals; -HUGE_VAL: none */
	double log_weight;     /* the weights sum up to the integral, 1 for readings that fit at once */
	int solution;          /* the nearest */
};

struct own_draws {
	int solution_count;
	struct own_solution solutions[OWN_SOLUTIONS];
	size_t count;
	struct own_draw draws[OWN_DRAWS];
	double effective; /* (sum of weights)^2 / sum of squared weights (Kish 1965) */
	bool again;       /* further draws were needed: the likelihood is not about normal */
};

/* Draws at a point, starting from stroke->own: from the prior, about each solution and, where that
 * leaves few effective draws, about the best of those; weighted by the balance heuristic (Veach &
 * Guibas, Proc. SIGGRAPH 95, 419 (1995)), whose value is right for any choice of them.
 *   seed  the stroke's own stream under it is used
 * False when the stroke cannot be played there. */
bool own_draws_make(const struct stroke_case *stroke, const struct stroke_point *point,
                    uint64_t seed, struct own_draws *draws);

#endif
