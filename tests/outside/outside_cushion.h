/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_CUSHION_H
#define RESTPOINT_TESTS_OUTSIDE_CUSHION_H

#include <stdbool.h>

#include "outside_integrator.h"

/* The impact of physics.md 2, its rates integrated over the normal impulse by an outside solver. */

struct outside_cushion_law {
	double sine;        /* (nose height - radius) / radius */
	double restitution; /* energetic, in [0, 1] */
	double friction;    /* at the nose */
	double bed_friction;
};

/* Numbers of the motion in the rail's frame (X along, Y into the rail, Z up), all in m/s. */
enum { OUTSIDE_VX, OUTSIDE_VY, OUTSIDE_RWX, OUTSIDE_RWY, OUTSIDE_RWZ, OUTSIDE_MOTION };

/* What happened, so that a test can tell what it covered. */
struct outside_cushion_tale {
	unsigned nose_sticks, bed_sticks; /* how often a contact began to stick */
	unsigned nose_ends, bed_ends;     /* how often a slip ended */
	unsigned releases;                /* how often a contact that stuck began to slip */
	unsigned lifts;                   /* how often the bed's reaction vanished */
	unsigned several;                 /* starts of slip with more than one possible direction */
};

struct outside_cushion;

/* An impact solver. A step's error is held below the accuracy relative to the speed of approach.
 * NULL when memory is out. */
struct outside_cushion *outside_cushion_open(const struct outside_accuracy *accuracy);
void outside_cushion_close(struct outside_cushion *cushion);

/* Plays one impact: motion[OUTSIDE_VY] > 0 before. tale may be NULL. False, the motion unchanged,
 * when the solver failed or found no way for a contact to go on. */
bool outside_cushion_rebound(struct outside_cushion *cushion, const struct outside_cushion_law *law,
                             double motion[OUTSIDE_MOTION], struct outside_cushion_tale *tale);

#endif
