/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_COLLISION_H
#define RESTPOINT_PHYSICS_COLLISION_H

#include "physics/ball.h"

/* Ball on ball (physics.md 3): normal restitution, Coulomb friction with its stick limit, the
 * vertical part of the friction changing only spin. */

/* What one contact gives each of two balls, per unit of nothing: differences to add. */
struct collision_change {
	struct vector3 velocity[2]; /* [m/s] */
	struct vector3 spin[2];     /* [rad/s] */
	double approach;            /* normal approach speed before [m/s] */
};

/* The change that one contact of two touching balls brings about; the states stay as they are, so
 * that simultaneous contacts can be solved from one state and added.
 *   first, second  with their bodies; the line of centres is taken from the positions, flat
 *   restitution    in [0, 1]
 *   friction       ball on ball; multiplied here by the square root of the two grips
 * When the balls do not approach, every change is zero and approach is not positive. */
struct collision_change collision_solve(const struct ball_state *first,
                                        const struct ball_body *first_body,
                                        const struct ball_state *second,
                                        const struct ball_body *second_body, double restitution,
                                        double friction);

/* Normal approach speed of two balls, positive when they come closer [m/s]. */
double collision_approach(const struct ball_state *first, const struct ball_state *second);

#endif
