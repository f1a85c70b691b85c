/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_OWN_SPACE_H
#define RESTPOINT_ESTIMATE_OWN_SPACE_H

#include <stdbool.h>

#include "estimate/stroke_case.h"

/* Linear algebra of one stroke: with its residuals r + J (u' - u) linear in its own unknowns u, whose
 * prior is standard normal, the best u' and the residuals with u eliminated follow from the
 * covariance C = 1 + J J' of the readings. */

/* The best values of the active own unknowns in the linearisation at hand, seen from the trial
 * point, and the fall of the cost that they promise. False when memory is out. */
bool own_space_target(const struct stroke_case *stroke, double target[OWN_ACTIVE],
                      double *predicted);

#endif
