/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_CONTACTS_H
#define RESTPOINT_SHOT_CONTACTS_H

#include <stdbool.h>

#include "physics/cloth.h"
#include "shot/play.h"

/* The state of a shot being played, and what its contacts do to it. Internal to src/shot. */

struct moving_ball {
	bool on_table;
	bool changed;             /* its schedule must be worked out anew */
	struct ball_state start;  /* at start_time, where its present phase of motion began */
	double start_time;
	struct cloth_motion motion;
	double phase_end;         /* absolute times [s] */
	double rail_time;
	enum rail rail;
	double last_motion;       /* of its last event: when it stopped, once at rest */
	double spin_end;          /* when its side spin is gone */
	bool away[RAIL_COUNT];    /* was farther than a diameter from its line since its last contact */
	int contacts;             /* counted rail contacts */
};

struct play {
	const struct shot_scene *scene;
	const struct shot_need *need;
	struct shot_record *record;
	double time;
	struct moving_ball balls[SHOT_BALLS];
	double pair_time[SHOT_BALLS][SHOT_BALLS]; /* [i][j] with i < j */
	int ball_contacts;
	int sounds;
	double last_sound;
};

/* The state of a ball at play->time. */
struct ball_state play_state(const struct play *play, size_t ball);

/* Makes the state of a ball at play->time the start of a new phase, and notes from which rails it
 * has been away since. */
void play_rebase(struct play *play, size_t ball);

/* A ball meets the rail it was scheduled for: it falls into a pocket, stays at the rail, or
 * rebounds. False when the impact could not be solved. */
bool contacts_rail(struct play *play, size_t ball);

/* Solves every contact of touching balls that approach, at this instant. */
void contacts_balls(struct play *play);

#endif
