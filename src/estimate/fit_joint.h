/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_JOINT_H
#define RESTPOINT_ESTIMATE_FIT_JOINT_H

#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "estimate/fit_problem.h"

/* The fit over everything at once: outer unknowns and the strokes' own ones take their steps
 * together, so that a step costs each stroke a shot or two and at most one linearisation, and a
 * stroke need not be at its best before the others have told where the constants are. Internal to
 * src/estimate. */

struct fit_joint_plan {
	double share;      /* of each reading's weight (inverse variance), in (0, 1] */
	double tolerance;  /* of cushion impacts (physics/cushion.h) */
	size_t iterations; /* at most */
	size_t draws;      /* of a stroke's own unknowns, where it is unlikely at the start */
	uint64_t stream;   /* of random numbers for them, under the problem's seed */
	double gain;       /* a step that promises a smaller fall of the cost ends the run */
};

/* Runs from x and the strokes' own unknowns, which receive the end, by damped Gauss-Newton steps.
 * A stroke that is less likely than the robust loss allows counts for less, as in fit_problem.
 * *cost: at the end, with the readings' weights scaled; HUGE_VAL when the start cannot be played.
 * STATUS_OK (also when stopped) or STATUS_SYSTEM. */
enum status fit_joint_run(struct fit_problem *problem, const struct fit_joint_plan *plan, double *x,
                          double *cost);

/* The precision of the outer unknowns at x with the strokes' own ones eliminated: J'J of the reduced
 * residuals and the prior, size * size numbers by rows. STATUS_OK, STATUS_SYSTEM, or
 * STATUS_NOT_CONVERGED where a stroke cannot be played. */
enum status fit_joint_precision(struct fit_problem *problem, const double *x, double *precision);

#endif
