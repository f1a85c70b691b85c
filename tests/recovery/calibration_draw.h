/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CALIBRATION_DRAW_H
#define RESTPOINT_TESTS_RECOVERY_CALIBRATION_DRAW_H

#include "base/random.h"
#include "model/constants.h"

/* Draws every constant from the whole of its prior (physics.md 8): normal on its fitted scale,
 * drawn anew while it lies beyond the hard limits. No optional terms. */
void calibration_draw_constants(struct random_stream *stream, struct constants *constants);

#endif
