/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_EVENTS_H
#define RESTPOINT_PHYSICS_CUSHION_EVENTS_H

#include "physics/cushion_impact.h"

/* How far a step of the series may go, and what happens at its end. Internal to src/physics. */

enum impact_event {
	EVENT_NONE,
	EVENT_LANDING,  /* the end of compression or of restitution */
	EVENT_LIFT,     /* the bed reaction comes to zero, or back from it */
	EVENT_SLIP_END, /* the slip of a contact is zero */
	EVENT_RELEASE   /* a sticking contact is at the edge of its cone */
};

struct impact_step {
	double length; /* in the variable of the series */
	enum impact_event event;
	enum contact_place place; /* of a slip's end or a release */
};

/* The next step. Compression ends where the speed into the rail is zero, restitution where the
 * work, counted down from what is to be given back, is. The length is HUGE_VAL or not a number when
 * something is wrong. */
struct impact_step events_next(const struct impact_run *run, bool compressing);

#endif
