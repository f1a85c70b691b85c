/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_GLIDE_STEP_H
#define RESTPOINT_PHYSICS_CUSHION_GLIDE_STEP_H

#include "physics/cushion_rates.h"

/* One step of an explicit Runge-Kutta method over a cushion impact while both contacts slide on a
 * bed that bears. Internal to src/physics. The two parts of a vector belong to the two contacts
 * here, nose and bed, unless it says else.
 *
 * Directions of the slips, the bed's share of the sizes, size / (sum of sizes), and the pace, their
 * product / sum, obey equations without a root or a quotient:
 *   x' = -share turn y,  y' = share turn x              turn = cross(direction, slip rate)
 *   share' = share other (other growth - share growth)  growth = dot(direction, slip rate)
 *   pace'  = pace (share^2 growth + other^2 growth)
 * where share stands with what belongs to the nose and other = 1 - share with what belongs to the
 * bed, and ' is by a time in which d(impulse) = pace. Either slip may come near to zero, and the
 * steps need not shrink with it. Slips, impulse and work are sums over the stages; directions,
 * share and pace are taken from the slips anew after each step. */

struct glide_rates {
	vector2 grip; /* friction at the bed by impulse, both parts alike */
	vector2 x, y; /* slip rates */
	vector2 turn, growth;
};

struct glide_sums {
	vector2 x, y;   /* slips */
	vector2 amount; /* impulse and work */
};

struct glide {
	double cosine, friction;
	vector2 grip,
	    lean; /* friction of the bed, both parts alike: grip + lean times the nose's y */
	/* What friction at the nose, friction of size 1 at the bed and the normal force do. */
	vector2 nose_x, nose_y, bed_x, bed_y, normal_y;
	double lever; /* speed into the rail by the difference of the slips along Y */
	struct glide_sums at;
	double into;                                  /* speed into the rail */
	vector2 size, direction_x, direction_y, pace; /* pace: share and pace */
	struct glide_rates rates;
};

/* Sets what does not change. */
void glide_make(struct glide *glide, const struct impact *impact);

/* Sizes of the slips, which tell whether the rest can be brought up to date. */
void glide_measure(struct glide *glide);
void glide_bring_up(struct glide *glide);

/* What slips, impulse and work change by in a step. Returns the square of what is thought to be the
 * error: that of a method of order 5, which is far above the true one. The weights make up for this
 * being so the more the smaller a slip or the pace is: a direction counts about as much as its slip
 * is large, a small one somewhat more, impulse and work as divided by the root of the pace. */
double glide_step(const struct glide *glide, double length, struct glide_sums *change);

#endif
