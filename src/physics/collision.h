/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_COLLISION_H
#define RESTPOINT_PHYSICS_COLLISION_H

#include "physics/ball.h"

/* Ball on ball (physics.md 3): normal restitution along the line of centres, which may be tilted,
 * and Coulomb friction with its stick limit in the plane across it. Balls may differ in radius,
 * mass and grip: a solid sphere resists a tangential impulse as 2/7 of its mass at rest would,
 * whatever its radius, so the friction that ends the slip is 2/7 of the reduced mass times it.
 *
 * The bodies are free during the contact: impulse and friction act in full, and change vertical
 * velocities, too. The caller drops those of balls that the bed holds. For level balls that is the
 * model of physics.md 3, in which the vertical part of the friction changes only spins. Balls of
 * unequal size on the bed tilt the line of centres; what the bed takes up is then a part of the
 * normal impulse as well, the sine of the tilt times it (0.03 for the two sizes of blackball). */

/* The law of the contact. */
struct collision_contact {
	double restitution;   /* in [0, 1] */
	double friction;      /* at a slip of 1 m/s, of two balls of grip 1; multiplied here by the
	                         square root of both grips */
	double friction_fall; /* f [s/m]: the friction is that times exp(-f (slip - 1 m/s)), with the
	                         slip at the first touch, for the whole contact */
};

/* What one contact gives each of two balls: differences to add. */
struct collision_change {
	struct vector3 velocity[2]; /* [m/s] */
	struct vector3 spin[2];     /* [rad/s] */
	double approach;            /* along the line of centres, before [m/s] */
};

/* The change that one contact of two touching balls brings about; the states stay as they are, so
 * that simultaneous contacts can be solved from one state and added.
 *   first, second  with their bodies; the line of centres is taken from the positions
 * When the balls do not approach, every change is zero and approach is not positive. */
struct collision_change collision_solve(const struct ball_state *first,
                                        const struct ball_body *first_body,
                                        const struct ball_state *second,
                                        const struct ball_body *second_body,
                                        const struct collision_contact *contact);

/* Approach speed of two balls along the line of centres, positive when they come closer [m/s]. */
double collision_approach(const struct ball_state *first, const struct ball_state *second);

#define COLLISION_STATE 7 /* of each ball: position x, y [m], velocity x, y, spin x, y, z */
#define COLLISION_LAW 5   /* restitution, friction, friction_fall, grip of the first, the second */
#define COLLISION_OUT 5   /* of each ball: velocity x, y, spin x, y, z */
#define COLLISION_IN (2 * COLLISION_STATE + COLLISION_LAW)

/* Derivatives of collision_solve. by[i][j]: row i is the change of number i % 5 of ball i / 5, in
 * the order of COLLISION_OUT; column j is number j % 7 of ball j / 7, in the order of
 * COLLISION_STATE, for j < 14, then the COLLISION_LAW. SI units. */
struct collision_slopes {
	double by[2 * COLLISION_OUT][COLLISION_IN];
};

/* The exact derivatives of the change, heights and vertical velocities held fixed. A contact that
 * slips and one that sticks differ; at the edge between them the derivatives are those of sticking.
 * Zero when the balls do not approach, or one is right above the other. Arguments as
 * collision_solve. */
void collision_find_slopes(const struct ball_state *first, const struct ball_body *first_body,
                           const struct ball_state *second, const struct ball_body *second_body,
                           const struct collision_contact *contact,
                           struct collision_slopes *slopes);

#endif
