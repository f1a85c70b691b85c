/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_COLLISION_H
#define RESTPOINT_TESTS_OUTSIDE_COLLISION_H

#include "physics/ball.h"

/* Ball on ball (physics.md 3), written anew. Of src only plain data are used. */

struct outside_collision_law {
	double restitution;
	double friction, fall; /* at a slip of 1 m/s; times exp(-fall (slip - 1 m/s)) */
};

/* What a contact adds to the two balls. */
struct outside_collision {
	struct vector3 velocity[2], spin[2];
};

/* Approach speed along the line of centres, positive when they come closer [m/s]. */
double outside_collision_approach(const struct ball_state balls[2]);

/* The contact of two touching balls that approach. The balls are free bodies within it; vertical
 * velocities of balls on the bed are the caller's to drop. */
struct outside_collision outside_collision_solve(const struct ball_state balls[2],
                                                 const struct ball_body bodies[2],
                                                 const struct outside_collision_law *law);

#endif
