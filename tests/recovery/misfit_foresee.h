/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_MISFIT_FORESEE_H
#define RESTPOINT_TESTS_MISFIT_FORESEE_H

#include "estimate/lack_of_fit.h"
#include "misfit_case.h"

/* What an omission should do to one session by linear theory, without fitting it: the session is
 * linearised at the truth, and the change of its readings goes through the weighted least squares of
 * all outer unknowns with their priors. */
struct misfit_foreseen {
	double bias[CONSTANT_COUNT]; /* of the fitted scale, in standard errors */
	struct lack_of_fit split;    /* noncentralities in place of squares */
};

/* Both sessions are simulated with that seed. False when one cannot be. */
bool misfit_foresee(const struct protocol *protocol, enum misfit_case number,
                    const struct constants *truth, uint64_t seed, struct misfit_foreseen *out);

#endif
