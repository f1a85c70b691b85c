/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_GRADIENT_H
#define RESTPOINT_SHOT_GRADIENT_H

#include "shot/play.h"

/* Exact derivatives of a played shot: of the places and times of its events and rests, by the
 * states at the strike, the constants, the grips of the balls and the irregularities of the rails.
 *
 * They are propagated with the shot. Between events the derivative of a ball's state at a fixed
 * time follows from the closed form of its motion; an event moves in time by what the implicit
 * function theorem says of its condition; the contact's own derivatives do the rest. What a
 * derivative cannot see: another order of events, a contact that just happens or just does not.
 * Source of the jump at an event (saltation matrix): Aizerman & Gantmakher, Q. J. Mech. Appl. Math.
 * 11, 351 (1958), value from memory. */

#define GRADIENT_DIRECTIONS 48 /* at most */
#define GRADIENT_EVENTS 64     /* events of the record, the first ones, that have derivatives */

/* One direction of change. */
enum direction_kind {
	DIRECTION_STATE,      /* of the states at the strike alone */
	DIRECTION_CONSTANT,   /* `constant`, per unit of its value */
	DIRECTION_TERM,       /* an optional term of the constants, per its unit */
	DIRECTION_GRIP,       /* of `ball` */
	DIRECTION_LIVELINESS, /* of rail impact `impact` of `ball`, as in struct rail_irregularity */
	DIRECTION_TURN,       /* likewise [1/rad] */
	DIRECTION_RAIL_LIVELINESS, /* of `rail`, as in struct rail_character */
	DIRECTION_RAIL_GRIP        /* likewise */
};

enum term_id {
	TERM_SLOPE_LONG,
	TERM_SLOPE_SHORT,
	TERM_LIVELINESS_FALL,
	TERM_BALL_FRICTION_FALL,
	TERM_NAP
};

struct shot_direction {
	enum direction_kind kind;
	enum constant_id constant;
	enum term_id term;
	size_t ball;
	unsigned impact;
	enum rail rail;
};

/* Numbers for all directions, two at a time: the compilers' vector type halves the work. */
typedef double direction_pair __attribute__((vector_size(16)));
struct gradient_row {
	direction_pair pair[GRADIENT_DIRECTIONS / 2];
};

static inline double gradient_at(const struct gradient_row *row, int direction)
{
	return row->pair[direction / 2][direction % 2];
}

static inline void gradient_set(struct gradient_row *row, int direction, double value)
{
	row->pair[direction / 2][direction % 2] = value;
}

/* Parts of a ball's state that have derivatives, x and y and the spin about all axes. */
enum state_part {
	PART_X,
	PART_Y,
	PART_VELOCITY_X,
	PART_VELOCITY_Y,
	PART_SPIN_X,
	PART_SPIN_Y,
	PART_SPIN_Z,
	STATE_PARTS
};

struct gradient_event {
	struct gradient_row time, x, y; /* [s], [m] per unit of each direction */
};

struct gradient_end {
	struct gradient_row x, y, rest_time, still_time;
};

/* A ball on its way: derivatives of its state at a fixed time, and of the time of its last event. */
struct gradient_ball {
	struct gradient_row part[STATE_PARTS];
	struct gradient_row event_time;
	bool pending; /* the state is that at the event, wherever that moves to */
};

/* About 250 kB; may be kept and used again. */
struct shot_gradient {
	int count; /* directions, by the caller */
	struct shot_direction directions[GRADIENT_DIRECTIONS];
	/* By the caller: part[] of each ball at the strike; overwritten on the way. */
	struct gradient_ball balls[SHOT_BALLS];
	/* Results, for the events and balls of the record. */
	bool complete; /* false: the shot went where derivatives are not propagated (flight) */
	struct gradient_event events[GRADIENT_EVENTS];
	struct gradient_end ends[SHOT_BALLS];
};

/* Sets the derivatives of a ball's state at the strike to zero in every direction. */
void shot_gradient_still(struct shot_gradient *gradient, size_t ball);

/* Plays as shot_play does, bit for bit, and fills the gradient. */
void shot_play_gradient(const struct shot_scene *scene, const struct ball_state *states,
                        const struct shot_need *need, struct shot_record *record,
                        struct shot_gradient *gradient);

#endif
