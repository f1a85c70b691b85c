/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_GLIDE_STEP_H
#define RESTPOINT_PHYSICS_CUSHION_GLIDE_STEP_H

#include "physics/cushion_rates.h"

/* One step of an explicit Runge-Kutta method over a cushion impact while both contacts slide on a
 * bed that bears. Internal to src/physics. The two parts of a vector belong to the two contacts
 * here, nose and bed, unless it says else.
 *
 * A slip taken as a complex number is the square of its root; so T. Levi-Civita, Acta Mathematica
 * 42, 99 (1920, from memory), took the collision out of two bodies' motion. In a time in which
 * d(impulse) is the product of the sizes of the slips,
 *   root' = (size of the other slip) (slip rate) (conjugate of the root) / 2.
 * As size times direction is the slip, all of it is polynomials of the roots, but for the direction
 * at the nose where the bed's reaction and the friction at the nose itself depend on it. Friction
 * by itself would make a slip's equation linear. Either slip may come near to zero, and the steps
 * need not shrink with it: they may be half as long again as in directions and sizes. */

/* What makes up root', times the length of a step in glide_step. */
struct glide_law {
	vector2 own, own_lean; /* of friction at the contact, straight against its slip */
	vector2 x, y;          /* of the slip of the other contact */
	vector2 normal;        /* of the normal force, along y */
	/* Of half the nose's direction along y; none at the bed: */
	vector2 lean_x, lean_y; /* the bed's reaction, with the slip of the bed */
	vector2 uneven;         /* what the nose's friction does less along y than along x */
};

struct glide_rates {
	vector2 grip; /* friction at the bed by impulse, both parts alike */
	vector2 x, y; /* slip rates */
	vector2 turn, growth; /* cross(direction, slip rate), dot(direction, slip rate) */
};

struct glide_sums {
	vector2 root_x, root_y;
	vector2 amount; /* impulse and work */
};

struct glide {
	struct glide_law law;
	double cosine, friction;
	vector2 grip,
	    lean; /* friction of the bed, both parts alike: grip + lean times the nose's y */
	/* What friction at the nose, friction of size 1 at the bed and the normal force do. */
	vector2 nose_x, nose_y, bed_x, bed_y, normal_y;
	double lever; /* speed into the rail by the difference of the slips along Y */
	struct glide_sums at;
	double into; /* speed into the rail */
	vector2 slip_x, slip_y, size, direction_x, direction_y;
	double share; /* of the bed in the sum of the sizes */
	double pace;  /* product / sum of the sizes, d(impulse) by the length of a step */
	vector2 weight; /* of errors of impulse and work */
	struct glide_rates rates;
};

/* Sets what does not change. */
void glide_make(struct glide *glide, const struct impact *impact);

/* Sets the roots. */
void glide_set(struct glide *glide, const vector2 slip[CONTACT_PLACES]);

/* Slips, which tell whether the rest can be brought up to date, and the speed into the rail. */
void glide_measure(struct glide *glide);
void glide_bring_up(struct glide *glide);

/* Speed into the rail after a change. */
double glide_into_after(const struct glide *glide, const struct glide_sums *change);

/* What roots, impulse and work change by in a step. Returns the square of what is thought to be the
 * error: that of a method of order 5, which is far above the true one. The weights make up for this
 * being so the more the smaller a slip is: a slip counts about as the root of its size. */
double glide_step(const struct glide *glide, double length, struct glide_sums *change);

#endif
