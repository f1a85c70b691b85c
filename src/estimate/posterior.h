/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_POSTERIOR_H
#define RESTPOINT_ESTIMATE_POSTERIOR_H

#include <stddef.h>

#include "estimate/chains.h"
#include "estimate/fit_problem.h"

/* What is known of the outer unknowns after the readings: draws from the product of the priors,
 * within the hard limits of the constants, and the strokes' marginal likelihoods (physics.md 6). The
 * data, and nothing fitted to them beforehand, decide where the draws lie: the strokes' marginals
 * are made anew about the middle of the draws until that no longer moves. */

struct posterior {
	size_t count, size;         /* draws, outer unknowns */
	double *draws;              /* rows of size numbers, standardised */
	double *right;              /* per stroke of the problem: how likely it is that it went right,
	                               mean over the draws; 1 for one that is not in use */
	struct chain_report report; /* of the last round */
};

/* Draws, starting from x, where a fit has ended; the strokes' own unknowns start from stroke->own
 * and end at the best that were met. Same numbers for any number of threads (as in
 * base/parallel.h). STATUS_OK, STATUS_INTERRUPTED, STATUS_NOT_CONVERGED (no stroke can be played
 * there), STATUS_SYSTEM. Release with posterior_free. */
enum status posterior_draw(struct fit_problem *problem, const double *x, unsigned threads,
                           struct posterior *posterior);

void posterior_free(struct posterior *posterior);

#endif
