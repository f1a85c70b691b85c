/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_EVENTS_CURVED_H
#define RESTPOINT_SHOT_EVENTS_CURVED_H

#include <math.h>

#include "shot/events.h"

/* Times of events where a motion is curved, by a slope. Internal to src/shot/events.c. */

/* First h > 0 at which gap + speed h + rate h^2 / 2 falls to zero, for a gap above zero. */
static inline double events_fall(double gap, double speed, double rate)
{
	double discriminant = speed * speed - 2.0 * rate * gap;

	if (discriminant < 0.0 || (speed >= 0.0 && rate >= 0.0))
		return HUGE_VAL;
	if (speed < 0.0)
		return 2.0 * gap / (sqrt(discriminant) - speed);
	return (speed + sqrt(discriminant)) / -rate;
}

/* The time of one rail, within `within` seconds: sign (p - line) is the gap, with p along x (axis 0)
 * or y (axis 1). */
double events_curved_rail(const struct ball_state *state, const struct cloth_motion *motion,
                          double radius, int axis, double sign, double line, double within);

/* event_pair_time where one motion at least is curved. */
double events_curved_pair(const struct event_pair *pair, double within);

/* The path of one ball as seen from another: place, velocity and acceleration. */
struct relative_path {
	struct vector3 d, v, a;
};

/* When balls that touch at the start of such a path, of constant acceleration, meet; within
 * `within`, which is finite. The path starts `since` seconds from now. */
double events_touching(const struct relative_path *path, const struct event_pair *pair,
                       double since, double within);

#define EVENTS_ROUNDS 200         /* steps to a meeting, at most; a few are usual */
#define EVENTS_PRESSED_DELAY 1e-6 /* a ball at a rail, driven into it, meets it so much later [s] */

#endif
