/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_SNAPSHOT_H
#define RESTPOINT_ESTIMATE_FIT_SNAPSHOT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "estimate/fit_end.h"
#include "estimate/fit_problem.h"

/* A state of a fit to come back to: the outer unknowns, the strokes' own ones, which strokes are in
 * use. Internal to src/estimate. */
struct fit_snapshot {
	double marginal; /* fit_marginal there */
	size_t used;     /* strokes in use */
	double *x;
	double (*own)[OWN_UNKNOWNS];
};

/* Takes the state at hand; settles the strokes for it. False when memory is out; release with
 * fit_snapshot_free in any case. */
bool fit_snapshot_take(struct fit_snapshot *snapshot, struct fit_problem *problem,
                       const struct fit_end *end);
void fit_snapshot_free(struct fit_snapshot *snapshot);

/* Whether the state at hand is less likely than the snapshot by more than a fit may leave to gain,
 * with the same strokes in use. */
bool fit_snapshot_was_better(const struct fit_snapshot *snapshot, struct fit_problem *problem,
                             const struct fit_end *end);

/* Comes back, with cost and covariance by the linearisation there, as an end that converged.
 * STATUS_OK, STATUS_SYSTEM, STATUS_INTERNAL when it cannot be linearised after all. */
enum status fit_snapshot_restore(const struct fit_snapshot *snapshot, struct fit_problem *problem,
                                 struct fit_end *end);

#endif
