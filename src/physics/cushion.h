/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_H
#define RESTPOINT_PHYSICS_CUSHION_H

#include "base/status.h"
#include "physics/ball.h"
#include "table/rail.h"

/* A ball against a cushion: one impact with two contacts, the nose above the centre and the bed
 * below (physics.md 2). Structure of the model: Mathavan, Jackson & Parkin, Proc. IMechE C 224,
 * 1863 (2010); energetic restitution after Stronge (1990, year from memory). The rates are
 * integrated over the normal impulse by Taylor series of high order; the end of compression
 * and of restitution are landed on, and a contact whose slip has ended is solved for sticking. */

/* What the impact depends on. All pure numbers. */
struct cushion_contact {
	double nose_sine;    /* height of the nose above the centre / radius = h/R - 1; in (-1, 1) */
	double restitution;  /* energetic, clamped to [0, 1] */
	double friction;     /* ball on cushion */
	double bed_friction; /* ball on bed, sliding */
};

/* What happened in an impact. */
struct cushion_outcome {
	double approach;       /* normal approach speed at the nose, vy cos(theta) [m/s] */
	double impulse;        /* normal impulse at the nose / mass [m/s] */
	unsigned steps;        /* integration steps */
	unsigned lifted_steps; /* steps in which the bed reaction was clamped at 0 */
	unsigned sticks;       /* contacts that stuck */
};

/* Accuracy of the integration relative to the speed of approach. */
#define CUSHION_TOLERANCE 1e-8

/* The impact in the rail's frame: X along the rail, Y into it, Z up (right-handed).
 *   velocity  [m/s], velocity->y > 0; its z is left alone (0 in this model)
 *   spin_speed  radius * spin [m/s]
 *   tolerance   relative accuracy wanted, 1e-12 to 1e-3; CUSHION_TOLERANCE serves
 *   outcome     may be NULL
 * STATUS_OK, or STATUS_INTERNAL when a number is not finite, velocity->y <= 0, or the step
 * count runs away; the state is then unchanged. */
enum status cushion_solve(const struct cushion_contact *contact, double tolerance,
                          struct vector3 *velocity, struct vector3 *spin_speed,
                          struct cushion_outcome *outcome);

/* The same for a ball that meets one of the four rails; turn [rad] turns the outgoing velocity
 * (not the spin) about z, counter-clockwise from above: an irregular cushion. A turned velocity
 * never points back into the rail. Errors as cushion_solve. */
enum status cushion_rebound(enum rail rail, const struct cushion_contact *contact, double turn,
                            double tolerance, double radius, struct ball_state *state,
                            struct cushion_outcome *outcome);

/* A vector of the table's frame seen in the rail's frame (X along, Y into the rail), and back. */
struct vector3 cushion_to_rail(enum rail rail, struct vector3 v);
struct vector3 cushion_from_rail(enum rail rail, struct vector3 v);

#endif
