/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_COLLISION_MEETING_H
#define RESTPOINT_PHYSICS_COLLISION_MEETING_H

#include <stdbool.h>

#include "physics/collision.h"

/* The numbers of one contact of two balls on the way to its outcome. Internal to src/physics. */

/* Directions at the contact, square to one another: normal from the first centre to the second,
 * level, and upward, which is vertical for a level line of centres. */
struct collision_frame {
	struct vector3 normal, level, upward;
	double distance, flat_distance; /* of the centres [m] */
};

struct collision_frame collision_find_frame(const struct ball_state *first,
                                            const struct ball_state *second);

struct collision_meeting {
	struct collision_frame frame;
	struct vector3 relative; /* velocity of the first past the second [m/s] */
	struct vector3 spins;    /* R1 w1 + R2 w2 [m/s] */
	double approach;         /* [m/s] */
	/* Slip of the first surface past the second, along frame.level and frame.upward [m/s]. */
	double slip_level, slip_upward, slip;
	double reduced;   /* mass [kg] */
	double softening; /* friction / contact->friction */
	double normal;    /* impulse [N s] */
	double drag;      /* impulse of friction / slip [kg]; 0 without slip */
	bool sticks;      /* friction ends the slip */
};

/* Only frame, relative, spins, approach and reduced are set when the balls do not approach. */
struct collision_meeting collision_meet(const struct ball_state *first,
                                        const struct ball_body *first_body,
                                        const struct ball_state *second,
                                        const struct ball_body *second_body,
                                        const struct collision_contact *contact);

#endif
