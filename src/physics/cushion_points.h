/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_POINTS_H
#define RESTPOINT_PHYSICS_CUSHION_POINTS_H

#include "physics/cushion_series.h"

/* What friction answers to small changes, at the points of a collocation in a step of the series.
 * Internal to src/physics. */

#define POINTS 5

/* What changes friction: the angles of the slips, and the two coefficients. */
enum drive { DRIVE_NOSE, DRIVE_BED, DRIVE_NOSE_FRICTION, DRIVE_BED_FRICTION, DRIVES };

/* One point: where the slips are, and what a unit of each drive does, per impulse. */
struct point {
	double weight; /* pace times length of the interval */
	vector2 direction[CONTACT_PLACES];
	double size[CONTACT_PLACES];
	double reaction;
	vector2 force[DRIVES][CONTACT_PLACES];
	vector2 slip_rate[DRIVES][CONTACT_PLACES];
};

/* Points of Radau's formula IIA in [0, 1], the last of which is 1. */
extern const double points_place[POINTS];
/* Integrals of their Lagrange polynomials, [i][j] of that of point j from 0 to point i. */
extern const double points_integral[POINTS][POINTS];

/* Fills in the points of a part of a step.
 *   impact    motions during the step, directions at its start
 *   straight  whose slip goes straight to its end at the end of the step, or CONTACT_PLACES
 *   from, to  in the variable of the series */
void points_find(const struct impact_series *series, const struct impact *impact,
                 enum contact_place straight, double from, double to, struct point point[POINTS]);

/* Size of a slip at one place of a step. */
double points_size(const struct impact_series *series, const struct impact *impact, int place,
                   double at);

#endif
