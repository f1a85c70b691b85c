/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_CONDITIONS_H
#define RESTPOINT_ADVISE_CONDITIONS_H

#include "model/constants.h"
#include "model/profile.h"
#include "table/table.h"

/* What the constants mean in players' terms (formats.md 5), for balls of grip 1. */

/* The value of a condition, in the unit of its name; NaN when the table or the constants do not
 * give one (the ball does not reach the second rail, say). */
double condition_value(enum condition_id id, const struct table *table,
                       const struct constants *constants);

/* The condition as known from constants on their fitted scales.
 *   mode, covariance  of the fit, or of the priors
 *   coverage          standard deviations that the interval reaches either way
 * The interval comes from the slopes of the condition's logarithm about the mode: exact for those
 * that are powers of one constant, good to first order for the others. *deviation receives the
 * standard deviation of that logarithm. */
struct interval condition_interval(enum condition_id id, const struct table *table,
                                   const double mode[CONSTANT_COUNT],
                                   double covariance[CONSTANT_COUNT][CONSTANT_COUNT],
                                   double coverage, double *deviation);

#endif
