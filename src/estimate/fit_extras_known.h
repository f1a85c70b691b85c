/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_EXTRAS_KNOWN_H
#define RESTPOINT_ESTIMATE_FIT_EXTRAS_KNOWN_H

#include "estimate/fit_problem.h"

/* From draws of the extra unknowns (fit_extras.h) to what is known of them. Internal to
 * src/estimate.
 *
 * States as in formats.md 5, with two readings of it: a number that may be 0 (slopes, the fall of
 * liveliness) has no logarithm, so it is weak where its standard error is above a tenth of the
 * larger of its size and what was expected before; and a direction is weak above 10 degrees. The
 * interval of a number that cannot be below 0 is the shorter of that between the 2.5 % and 97.5 %
 * points and that from 0 to the 95 % point; at its limit, the value is the most likely one. The
 * steepness of the bed is 0 at the low end where the
 * 95 % ellipse of the two slopes holds the level bed. */

/* The column of an extra unknown among those of a draw. */
size_t fit_extras_column(const struct fit_problem *problem, int kind);

/* Fills the result from `draws` rows of result->extra_draws, which are enlarged about their means
 * where result->scaled is set. x: the best point. False when memory is out. */
bool fit_extras_known(const struct fit_problem *problem, const double *x, size_t draws,
                      struct fit_result *result);

#endif
