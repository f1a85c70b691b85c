/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_BALL_H
#define RESTPOINT_PHYSICS_BALL_H

#include "base/vector.h"

/* A ball as a body: a solid homogeneous sphere, moment of inertia (2/5) m R^2. */
struct ball_body {
	double radius; /* [m] */
	double mass;   /* [kg] */
	double grip;   /* multiplies sliding, spin and cushion friction; 1 for the reference ball */
};

/* Where a ball is and how it moves. Frame: x across to the right, y along from head to foot, z up;
 * origin at the corner of the head and left cushion noses, on the bed. */
struct ball_state {
	struct vector3 position; /* of the centre [m]; z is the radius while the ball is on the bed */
	struct vector3 velocity; /* [m/s] */
	struct vector3 spin;     /* [rad/s]; z > 0 is right-hand side */
};

/* Kinetic energy with rotation [J]. */
double ball_energy(const struct ball_state *state, const struct ball_body *body);

/* Slip of the point that touches the bed, (vx - R wy, vy + R wx, 0) [m/s]; zero when rolling. */
struct vector3 ball_slip(const struct ball_state *state, double radius);

#endif
