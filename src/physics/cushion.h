/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_H
#define RESTPOINT_PHYSICS_CUSHION_H

#include <stdbool.h>

#include "base/status.h"
#include "physics/ball.h"
#include "table/rail.h"

/* A ball against a cushion: one impact with two contacts, the nose above the centre and the bed
 * below (physics.md 2). Structure of the model: Mathavan, Jackson & Parkin, Proc. IMechE C 224,
 * 1863 (2010); energetic restitution after Stronge (1990, year from memory). The rates are
 * integrated over the normal impulse by Taylor series of high order, and, at about the usual
 * tolerance while both contacts slide, by a Runge-Kutta method of order 8; the end of compression
 * and of restitution are landed on, and a contact whose slip has ended is solved for sticking. */

/* What the impact depends on. All pure numbers. */
struct cushion_contact {
	double nose_sine;   /* height of the nose above the centre / radius = h/R - 1; in (-1, 1) */
	double restitution; /* energetic, clamped to [0, 1] */
	double friction;    /* ball on cushion */
	double bed_friction; /* ball on bed, sliding */
	bool may_lift;       /* false: the ball stays on the bed, whose reaction is clamped at 0;
	                        true: where the reaction vanishes it leaves, and the impact goes
	                        on at the nose alone */
};

/* What happened in an impact. */
struct cushion_outcome {
	double approach;       /* normal approach speed at the nose, vy cos(theta) [m/s] */
	double impulse;        /* normal impulse at the nose / mass [m/s] */
	unsigned steps;        /* integration steps */
	unsigned lifted_steps; /* steps in which the bed reaction was clamped at 0 */
	unsigned sticks;       /* contacts that stuck */
	bool hops;             /* the ball has left the bed */
};

/* Accuracy of the integration relative to the speed of approach. */
#define CUSHION_TOLERANCE 1e-8

/* From this tolerance on derivatives are coarse: of 300 random impacts, the worst was off by a
 * thousandth of the largest, most by less than a ten-thousandth, in a third of the time. */
#define CUSHION_COARSE 5e-7

/* The impact in the rail's frame: X along the rail, Y into it, Z up (right-handed).
 *   velocity  [m/s], velocity->y > 0; its z is left alone, unless the ball leaves the bed: then
 *               it is the upward velocity, at least 0
 *   spin_speed  radius * spin [m/s]
 *   tolerance   relative accuracy wanted, 1e-12 to 1e-3; CUSHION_TOLERANCE serves
 *   outcome     may be NULL
 * Where the friction at nose and bed locks the ball between them, both contacts sticking, it stays
 * at the rail, velocity->y being 0; that takes both coefficients to be above 0.6.
 * STATUS_OK, or STATUS_INTERNAL when a number is not finite, velocity->y <= 0, or the step
 * count runs away; the state is then unchanged. */
enum status cushion_solve(const struct cushion_contact *contact, double tolerance,
                          struct vector3 *velocity, struct vector3 *spin_speed,
                          struct cushion_outcome *outcome);

/* What goes into an impact and what comes out, as the columns and rows of its derivatives. */
enum { CUSHION_ALONG, CUSHION_INTO, CUSHION_SPIN_X, CUSHION_SPIN_Y, CUSHION_SPIN_Z, CUSHION_OUT };
enum {
	CUSHION_RESTITUTION_IN = CUSHION_OUT,
	CUSHION_FRICTION_IN,
	CUSHION_BED_FRICTION_IN,
	CUSHION_IN
};

struct cushion_slopes {
	double by[CUSHION_OUT][CUSHION_IN];
};

/* As cushion_solve, with the exact derivatives of the outgoing velocity along and into the rail and
 * spin_speed [m/s] by the same five incoming [m/s] and by the contact's restitution, friction and
 * bed_friction. They are carried along the course of the impact, to about the tolerance, or
 * CUSHION_COARSE and beyond coarsely.
 *
 * Where a slip passes zero a change of it leaves behind what its last turn does. A ball that rolls
 * has no slip at the bed, and the outcome has a kink there: the derivatives by the three numbers
 * that make up that slip (velocity along and into, spin_speed x and y) are, in the two directions
 * that break rolling, those of a ball whose slip is about to start in the direction in which that
 * of the rolling ball starts; they are exact for changes that leave it rolling. A sticking bed
 * takes away any slip, with no kink. That by restitution is the one by
 * the clamped value: at 1 from below, at 0 from above. They are not numbers when the ball leaves
 * the bed, which may_lift allows. */
enum status cushion_solve_slopes(const struct cushion_contact *contact, double tolerance,
                                 struct vector3 *velocity, struct vector3 *spin_speed,
                                 struct cushion_outcome *outcome, struct cushion_slopes *slopes);

/* An outgoing velocity in the rail's frame, turned by `turn` [rad] about z, counter-clockwise from
 * above, by an irregular cushion; never back into the rail. */
struct vector3 cushion_turn(struct vector3 velocity, double turn);

/* The same as cushion_solve for a ball that meets one of the four rails; turn [rad] turns the
 * outgoing velocity (not the spin) about z, counter-clockwise from above: an irregular cushion. A
 * turned velocity never points back into the rail. Errors as cushion_solve. */
enum status cushion_rebound(enum rail rail, const struct cushion_contact *contact, double turn,
                            double tolerance, double radius, struct ball_state *state,
                            struct cushion_outcome *outcome);

/* A vector of the table's frame seen in the rail's frame (X along, Y into the rail), and back. */
struct vector3 cushion_to_rail(enum rail rail, struct vector3 v);
struct vector3 cushion_from_rail(enum rail rail, struct vector3 v);

#endif
