/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_EVENTS_H
#define RESTPOINT_SHOT_EVENTS_H

#include "physics/ball.h"
#include "physics/cloth.h"
#include "table/table.h"

/* When the next event of a ball or a pair can happen, from the roots of the quadratic and the
 * quartic that their paths give. Times count from now; HUGE_VAL: not within the phase. */

/* Gap between two balls below which they touch [m]. */
#define EVENT_TOUCH 1e-9
/* Approach speed below which touching balls do not meet [m/s]. */
#define EVENT_APPROACH 1e-6

/* The next rail that a ball on the bed meets within `within` seconds of its phase of motion.
 * *rail receives which. */
double event_rail_time(const struct ball_state *state, const struct cloth_motion *motion,
                       double radius, const struct table *table, double within, enum rail *rail);

/* When two balls meet within `within` seconds of both their phases; reach = sum of the radii. */
double event_pair_time(const struct ball_state *first, const struct cloth_motion *first_motion,
                       const struct ball_state *second, const struct cloth_motion *second_motion,
                       double reach, double within);

#endif
