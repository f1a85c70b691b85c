/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_PLAY_H
#define RESTPOINT_SHOT_PLAY_H

#include <stdbool.h>
#include <stddef.h>

#include "model/constants.h"
#include "physics/ball.h"
#include "table/table.h"

/* Plays a shot from the state just after the strike: from event to event (a phase of motion ends,
 * a ball meets a rail, two balls meet), each found as a root in closed form or bracketed to the
 * last bits, with no step of time in between. On a slope (constants->terms) a phase is cut into
 * pieces, each a polynomial. With a bed restitution above zero balls fly: from an elevated cue, off
 * the bed at a cushion whose friction lifts them, off one another, bouncing until they stay down.
 *
 * Choices of the model where physics.md leaves one: at one instant the pair of touching balls with
 * the largest approach speed is solved first, and equal pairs (within 1e-9) together. A ball that
 * meets a rail slower than SHOT_SLOW stays at the rail and keeps its motion along it. Two balls
 * that meet slower than that while one is driven into the other stay together; while touching balls
 * are driven together they are taken to meet each time that they are a micrometre inside one
 * another, not sooner than after a millisecond, and are set apart again. A ball that lies at a rail
 * and moves along it does not meet that rail by rounding. */

#define SHOT_BALLS 22          /* at most */
#define SHOT_EVENTS 192        /* recorded; later ones are played but not recorded */
#define SHOT_EVENT_CAP 20000   /* a shot with more events and rounds of contacts is given up */
#define SHOT_IRREGULAR 8       /* rail impacts of one ball that can be irregular */
#define SHOT_SLOW 0.005        /* [m/s] */
#define SHOT_AUDIBLE 0.15      /* normal approach speed of an audible contact [m/s] */
#define SHOT_SOUND_GAP 0.020   /* contacts closer in time than that sound as one [s] */

/* How one rail impact differs from the constants: restitution times (1 + liveliness), velocity
 * turned by turn [rad]. */
struct rail_irregularity {
	double liveliness, turn;
};

/* How one rail differs from the constants: cushion_restitution times (1 + liveliness),
 * cushion_friction times grip. */
struct rail_character {
	double liveliness, grip;
};

enum shot_event_kind {
	EVENT_RAIL,
	EVENT_BALLS,
	EVENT_POCKET,
	EVENT_LEAVE, /* over a rail, from flight */
	EVENT_BOUNCE /* a flying ball comes down on the bed */
};

struct shot_event {
	enum shot_event_kind kind;
	double time;             /* since the strike [s] */
	size_t ball, other;      /* other: of EVENT_BALLS, ball < other */
	enum rail rail;          /* of EVENT_RAIL, EVENT_POCKET, EVENT_LEAVE */
	int number;              /* rail: which counted contact of that ball, 0 when it does not count;
	                            balls: which contact of two balls, from 1 */
	struct vector3 position; /* of `ball` [m] */
	double approach;         /* normal approach speed [m/s] */
};

struct ball_end {
	bool pocketed;           /* gone from the bed */
	bool left;               /* and not into a pocket but over a rail */
	struct vector3 position; /* where it stopped, or was last [m] */
	double rest_time;        /* when the centre stopped for good, or it fell [s] */
	double still_time;       /* when the side spin was gone too [s] */
};

enum shot_ending {
	SHOT_COMPLETE, /* every ball at rest or pocketed */
	SHOT_ENOUGH,   /* ended early: all that was needed had happened */
	SHOT_CAPPED,   /* more than SHOT_EVENT_CAP events, with rounds of contacts */
	SHOT_BROKEN    /* no such shot: a number that is not finite or beyond what any table could have
	                  (shot/scene_check.h), a slope on which a ball never stops, a ball more than
	                  half inside another */
};

struct shot_record {
	enum shot_ending ending;
	size_t event_count; /* recorded */
	struct shot_event events[SHOT_EVENTS];
	size_t ball_count;
	struct ball_end ends[SHOT_BALLS]; /* of balls still moving: where and when the play ended */
	unsigned impacts[SHOT_BALLS];     /* rail impacts of each ball, counted or not */
};

/* What the caller wants to know; the play ends as soon as all of it has happened. */
struct shot_need {
	bool everything;               /* play until every ball is at rest */
	int rails[SHOT_BALLS];         /* counted rail contacts of each ball */
	int ball_contacts;             /* contacts of two balls */
	int sounds;                    /* audible contacts */
	bool struck;                   /* by a cue, whose sound swallows contacts close after it */
};

struct shot_trace;

/* The surroundings of a shot. */
struct shot_scene {
	const struct table *table;
	const struct constants *constants;
	size_t ball_count;              /* 1 to SHOT_BALLS */
	const struct ball_body *bodies; /* ball_count of them */
	const bool *present;            /* ball_count of them; NULL: all */
	const struct rail_irregularity (*irregular)[SHOT_IRREGULAR]; /* per ball; NULL: none */
	const struct rail_character *rails; /* RAIL_COUNT of them; NULL: all alike */
	double tolerance;               /* of cushion impacts, e.g. CUSHION_TOLERANCE */
	struct shot_trace *trace;       /* receives the paths (shot/trace.h); NULL: not wanted */
};

/* Plays from states (ball_count of them; on the bed, not inside one another). The record is
 * always filled; look at its ending. */
void shot_play(const struct shot_scene *scene, const struct ball_state *states,
               const struct shot_need *need, struct shot_record *record);

#endif
