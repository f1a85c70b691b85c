/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_CONTACTS_H
#define RESTPOINT_SHOT_CONTACTS_H

#include <stdbool.h>

#include "physics/cloth.h"
#include "shot/gradient.h"
#include "shot/play.h"

/* The state of a shot being played, and what its contacts do to it. Internal to src/shot. */

struct moving_ball {
	bool on_table;
	bool changed;             /* its schedule must be worked out anew */
	struct ball_state start;  /* at start_time, where its present phase of motion began */
	double start_time;
	struct cloth_motion motion;
	double elapsed;           /* of the motion before, when the ball last began a new one */
	double phase_end;         /* absolute times [s] */
	double rail_time;
	enum rail rail;
	double last_motion;       /* of its last event: when it stopped, once at rest */
	double spin_end;          /* when its side spin is gone */
	double pair_time;         /* when it meets another ball first, and which */
	size_t partner;
	bool away[RAIL_COUNT];    /* was farther than a diameter from its line since its last contact */
	int contacts;             /* counted rail contacts */
};

struct play {
	const struct shot_scene *scene;
	const struct shot_need *need;
	struct shot_record *record;
	struct shot_gradient *gradient; /* derivatives carried along; NULL: none */
	double time;
	struct moving_ball balls[SHOT_BALLS];
	double pair_time[SHOT_BALLS][SHOT_BALLS]; /* [i][j] and [j][i] */
	double slow_time[SHOT_BALLS][SHOT_BALLS]; /* of their last meeting, if it was slow; i < j */
	int rounds;                               /* of solving touching pairs, so far */
	int ball_contacts;
	int sounds;
	double last_sound;
};

/* The state of a ball at play->time. */
struct ball_state play_state(const struct play *play, size_t ball);

/* The constants for the motion that a ball begins: the nose of a rail carries a ball that lies at
 * it on a slope. */
struct constants play_constants(const struct play *play, size_t ball);

/* Makes the state of a ball at play->time the start of a new phase, and notes from which rails it
 * has been away since. */
void play_rebase(struct play *play, size_t ball);

/* Records an event of a ball, now; NULL when the record is full. */
struct shot_event *play_record(struct play *play, enum shot_event_kind kind, size_t ball,
                               double approach);

/* A ball meets the rail it was scheduled for: it falls into a pocket, leaves the table over the
 * rail, stays at the rail, or rebounds. False when the impact could not be solved. */
bool contacts_rail(struct play *play, size_t ball);

/* Two balls meet. Solves every contact of touching balls that approach at this instant, of these
 * two and of those that they set going. */
void contacts_balls(struct play *play, size_t first, size_t second);

#endif
