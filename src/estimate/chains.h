/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_CHAINS_H
#define RESTPOINT_ESTIMATE_CHAINS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/progress.h"
#include "base/status.h"

/* Draws from a density that is known up to a factor: Hamiltonian Monte Carlo (Duane, Kennedy,
 * Pendleton & Roweth, Phys. Lett. B 195, 216 (1987); Neal, Handbook of Markov Chain Monte Carlo
 * (2011), ch. 5) in several chains. */

/* The density. It may be called by several threads at the same time. */
struct chain_target {
	size_t size; /* unknowns */
	/* Its logarithm at x and, into gradient, the derivatives of that; -HUGE_VAL where the density
	 * is zero. */
	double (*log_density)(void *context, const double *x, double *gradient);
	void *context;
};

struct chain_wish {
	size_t chains; /* at least 2 */
	size_t settle; /* steps of each chain that are not kept: the step length adapts in them */
	size_t keep;   /* steps of each chain that are kept */
	uint64_t seed;
	unsigned threads; /* as in base/parallel.h; does not change the result */
	const struct progress *progress; /* only whether to stop is asked */
};

/* What the chains did. */
struct chain_report {
	double mixing;   /* largest of all unknowns, of the ratio of the spread with and without what
	                    lies between the chains (Gelman & Rubin, Statist. Sci. 7, 457 (1992)): near 1
	                    when all saw the same */
	double accepted; /* share of the steps */
};

/* Runs the chains from start, where the density must not be zero.
 *   metric  size * size numbers by rows, positive definite: about the inverse covariance
 *   draws   receives chains * keep rows of size numbers, chain after chain
 * STATUS_OK; STATUS_INTERRUPTED; STATUS_INTERNAL when the start or the metric will not do;
 * STATUS_SYSTEM. */
enum status chains_run(const struct chain_target *target, const double *start,
                       const double *metric, const struct chain_wish *wish, double *draws,
                       struct chain_report *report);

#endif
