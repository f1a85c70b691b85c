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

enum impact_part { PART_COMPRESSION, PART_RESTITUTION, PART_ENDED };

struct impact_run {
	struct impact impact;
	struct impact_state state;
	double size[CONTACT_PLACES]; /* of the slips; that of a following one is kept apart */
	struct series_error error;
	enum impact_part part;
	double share;       /* of the work that the cushion gives back */
	double compression; /* work on the cushion till the end of compression */
	double smallest;    /* a slip below it has ended */
	int order;          /* of the series */
	unsigned steps, lifted_steps, sticks;
	bool may_lift, flies;           /* whether the ball may leave the bed, and has */
	bool glides;                    /* see cushion_glide.h: tolerance and reaction permit it */
	bool wedged;                    /* both contacts stick: the ball has stopped at the rail */
	struct impact_tangent *tangent; /* carried along unless NULL */
	struct impact_series series;
};

/* Runs to the end; false when the steps run away or a number is not finite. */
bool impact_run_through(struct impact_run *run);

/* Slips of both contacts at the present state. */
void impact_find_slips(const struct impact_run *run, vector2 slip[CONTACT_PLACES]);

/* What friction at both contacts, along the slips it opposes, and a normal impulse at the nose, all
 * divided by the mass, do to the state but for the work and the velocity up. */
void impact_push(struct impact_run *run, const vector2 force[CONTACT_PLACES], double impulse);

/* Lets a contact slide in the direction of its slip. */
void impact_slide(struct impact_run *run, int place, const vector2 slip[CONTACT_PLACES]);

/* When friction jumps at one contact, a following slip at the other is no longer on its way; one
 * that is zero finds the new way at once. */
void impact_follow_no_more(struct impact_run *run);

/* Decides anew about the contacts that follow from no slip. */
void impact_follow_anew(struct impact_run *run);

/* The rest of a part for a ball that has left the bed. */
bool impact_fly_on(struct impact_run *run, bool compressing);

#endif
