/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_TRACED_SHOT_H
#define RESTPOINT_SHOT_TRACED_SHOT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "model/protocol.h"
#include "shot/play.h"
#include "shot/setup.h"
#include "shot/trace_path.h"

/* A shot of a protocol played as designed, with the path of every ball and everything that happens
 * on the way: what files and drawings of a shot are made from. */

enum trace_event_kind {
	TRACE_STRIKE,
	TRACE_RAIL,
	TRACE_CONTACT, /* of two balls */
	TRACE_POCKET,
	TRACE_LEAVE,   /* the table, over a rail */
	TRACE_BOUNCE,  /* a flying ball on the bed */
	TRACE_REST,    /* the centre stops for good */
	TRACE_STOPPED  /* the side spin is gone too, where that is later */
};

struct trace_event {
	enum trace_event_kind kind;
	double time;             /* since the strike [s] */
	enum ball_role ball, other; /* other: of a contact; else the same */
	enum rail rail;          /* of a rail, a pocket, a leave; else RAIL_COUNT */
	int number;              /* as in struct shot_event, 0 where there is none */
	struct vector3 position; /* of `ball` [m] */
	double approach;         /* normal approach speed [m/s]; NAN where there is none */
};

#define TRACE_EVENTS (SHOT_EVENTS + 1 + 2 * BALL_ROLES)

struct traced_shot {
	const struct shot_design *design;
	const struct table *table;
	struct shot_setup setup;
	struct stroke stroke;
	struct shot_record record;
	struct trace_path paths[BALL_ROLES]; /* each up to end_time, or to the fall of the ball */
	size_t event_count;
	struct trace_event events[TRACE_EVENTS]; /* by time */
	double end_time; /* when all balls are still [s] */
};

/* Plays the designed stroke with even rails.
 *   setup           of that design on that table
 *   end_mass_ratio  as for shot_setup_strike
 *   tolerance       how far, at most, a ball is from its path at any time (trace_path_make) [m]
 * The design and the table must outlive *shot; release it with traced_shot_free in any case.
 * STATUS_OK; STATUS_INPUT when the shot could not be played to its end; STATUS_SYSTEM. */
enum status traced_shot_play(const struct shot_design *design, const struct shot_setup *setup,
                             const struct table *table, const struct constants *constants,
                             double end_mass_ratio, double tolerance, struct traced_shot *shot);
/* The same where the rails differ: rails as in struct shot_scene. */
enum status traced_shot_play_rails(const struct shot_design *design,
                                   const struct shot_setup *setup, const struct table *table,
                                   const struct constants *constants,
                                   const struct rail_character *rails, double end_mass_ratio,
                                   double tolerance, struct traced_shot *shot);
void traced_shot_free(struct traced_shot *shot);

/* Whether a ball left its place. */
bool traced_shot_moved(const struct traced_shot *shot, enum ball_role ball);

#endif
