/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_STROKE_GRADIENT_H
#define RESTPOINT_ESTIMATE_STROKE_GRADIENT_H

#include "estimate/readings.h"
#include "estimate/stroke_case.h"

/* Exact derivatives of the residuals of one stroke by its own, the shared and the constants'
 * unknowns, all standardised; from shot/gradient.h. */

/* At a point and stroke->trial_own, for the own unknowns in stroke->active: fills stroke->by_own
 * and, if outer, stroke->by_outer. False when the shot cannot be played there, or where derivatives
 * are not propagated. */
bool stroke_gradient_fill(struct stroke_case *stroke, const struct stroke_point *point, bool outer);

#endif
