/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_SLOPE_H
#define RESTPOINT_PHYSICS_SLOPE_H

#include <stdbool.h>

#include "model/constants.h"
#include "physics/cloth.h"
#include "table/rail.h"

/* What a bed that slopes asks for besides the motion itself (cloth.h). The slopes are small, their
 * sines and tangents taken as equal. */

/* Whether a ball comes to rest on the slopes: rolling resistance greater than 5/7 of the slope and
 * the push of the nap together, and the sliding friction of an even grip greater than 2/7 of the
 * slope. cloth_motion_start needs this. */
bool slope_stops(const struct constants *constants);

/* The constants for a ball that lies at a rail's nose and is not moving away from it: where the bed
 * slopes down, or a nap pushes, toward the rail, that is taken out, as the nose carries the ball. Without it a
 * ball that rolls along a rail would meet it again and again. */
struct constants slope_held(const struct constants *constants, enum rail rail);

/* Parts of a ball's state whose derivatives a motion gives, and what they are by. */
enum slope_part {
	SLOPE_X,
	SLOPE_Y,
	SLOPE_VELOCITY_X,
	SLOPE_VELOCITY_Y,
	SLOPE_SPIN_X,
	SLOPE_SPIN_Y,
	SLOPE_PARTS
};
enum slope_by {
	SLOPE_BY_VELOCITY_X, /* of the start [m/s] */
	SLOPE_BY_VELOCITY_Y,
	SLOPE_BY_SPIN_X, /* of the start [rad/s]; zero for a ball that rolls */
	SLOPE_BY_SPIN_Y,
	SLOPE_BY_FRICTION, /* sliding friction times grip, or rolling resistance, by phase */
	SLOPE_BY_LONG,     /* the slopes [rise per run] */
	SLOPE_BY_SHORT,
	SLOPE_BY
};

/* Exact derivatives of the state after `time` seconds of a motion that slides or rolls, on a slope
 * or level. Those by the position of the start are left out: 1 of the position, else 0. At a fixed
 * time; at the duration those just before the end, for an implicit function there. A motion that
 * rolls takes its spin from the velocity, before and after. */
struct slope_slopes {
	double by[SLOPE_PARTS][SLOPE_BY];
	double duration[SLOPE_BY]; /* of the phase's duration */
};

/*   state     at the start of the motion
 *   friction  sliding friction times the grip of the ball, or rolling resistance, by the phase */
void slope_differentiate(const struct ball_state *state, const struct cloth_motion *motion,
                         double radius, double friction, double time, struct slope_slopes *slopes);

#endif
