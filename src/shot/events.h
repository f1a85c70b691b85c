/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_EVENTS_H
#define RESTPOINT_SHOT_EVENTS_H

#include "physics/ball.h"
#include "physics/cloth.h"
#include "table/table.h"

/* When the next event of a ball or a pair can happen. Times count from now; HUGE_VAL: not within
 * the time asked for. The state is the ball's now, which may be later in the motion than its start. A
 * ball whose motion is curved is on the bed: its height is its radius.
 *
 * How a first meeting is found without missing one: whatever two balls do, their distance is at
 * least its part along any fixed direction. Along the line of centres of one moment that part is a
 * quadratic in time, exactly, where the accelerations are constant, and from below where they turn
 * on a slope; its first fall to the reach is a time before which they cannot meet. From there the
 * same is done again; the times come to the first meeting from below, at last as fast as by
 * Newton's method, or there is no such fall and no meeting. */

/* Gap between two balls below which they touch [m]. */
#define EVENT_TOUCH 1e-9
/* Approach speed below which touching balls do not meet [m/s], */
#define EVENT_APPROACH 1e-6
/* and below which those do not that are inside one another by more than half of EVENT_DEPTH. */
#define EVENT_DEEP_APPROACH 1e-9
/* Balls that are driven together meet when they are so far inside one another [m]. */
#define EVENT_DEPTH 1e-6

/* The next rail that a ball on the bed or in the air meets within `within` seconds, not beyond its
 * phase of motion: its centre comes to that rail's frozen line. *rail receives which. */
double event_rail_time(const struct ball_state *state, const struct cloth_motion *motion,
                       double radius, const struct table *table, double within, enum rail *rail);

/* Two balls, their motions, and what they may do. */
struct event_pair {
	const struct ball_state *state[2];
	const struct cloth_motion *motion[2];
	double reach;   /* the sum of the radii [m] */
	bool rests;     /* one on the other, if they touch: they met last slower than SHOT_SLOW */
	double soonest; /* when such balls meet again, unless they approach fast [s] */
};

/* After a slow meeting, touching balls meet no sooner than so much later [s], */
#define EVENT_RESTING_TIME 1e-3
/* unless they approach by more than this [m/s]. */
#define EVENT_RESTING_APPROACH 1e-3

/* When two balls meet within `within` seconds, not beyond both their phases: the distance of their
 * centres, in space, falls to the reach. Balls that touch, hardly approach and are driven together
 * meet when they are a micrometre inside one another, though no sooner than EVENT_RESTING_TIME from
 * now, or from their last slow meeting. */
double event_pair_time(const struct event_pair *pair, double within);

#endif
