/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_IMPACT_H
#define RESTPOINT_PHYSICS_CUSHION_IMPACT_H

#include "physics/cushion_tangent.h"

/* The course of one cushion impact: steps of the series from event to event. Internal to
 * src/physics. The caller chooses the unit of speed such that the fastest motion is about 1. */

struct impact_state {
	double along, into;   /* velocity along and into the rail */
	double up;            /* velocity; 0 until the ball leaves the bed */
	double spin_speed[3]; /* radius times spin about X, Y and Z */
	double work;          /* on the cushion / mass, since the start of the part */
	double impulse;       /* normal, at the nose / mass, since the start */
};

struct impact_run {
	struct impact impact;
	struct impact_state state;
	double size[CONTACT_PLACES]; /* of the slips; that of a following one is kept apart */
	struct series_error error;
	double compression; /* work on the cushion till the end of compression */
	double smallest;    /* a slip below it has ended */
	int order;          /* of the series */
	unsigned steps, lifted_steps, sticks;
	bool may_lift, flies;           /* whether the ball may leave the bed, and has */
	bool wedged;                    /* both contacts stick: the ball has stopped at the rail */
	struct impact_tangent *tangent; /* carried along unless NULL */
	struct impact_series series;
};

/* Runs to the end of compression, where the speed into the rail is 0; false when the steps run
 * away or a number is not finite. */
bool impact_compress(struct impact_run *run);

/* From there until the cushion has given back a share of the work; likewise. */
bool impact_give_back(struct impact_run *run, double share);

/* The rest of either part for a ball that has left the bed. */
bool impact_fly_on(struct impact_run *run, bool compressing);

#endif
