/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_STOP_AREA_H
#define RESTPOINT_ADVISE_STOP_AREA_H

#include <stddef.h>
#include <stdint.h>

#include "advise/constant_draws.h"
#include "advise/outline.h"
#include "base/status.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* Where the balls of a shot should stop, and where they should meet the rails: the shot is played
 * many times as people play it, on tables as what is known of the constants allows.
 *
 * Each play draws the constants, the stroke with the spreads of the design, the player's offsets of
 * height, side and aim for that shot, and the irregularity of each rail contact (physics.md 6). Not
 * drawn is the player's habit of hitting everything harder or softer: a player sees from this very
 * area whether the pace is right, and mends it. For the same reason a ramp's shared speed is taken
 * as designed. */

#define STOP_AREA_DRAWS 1200
#define STOP_AREA_MADE 600 /* the first of them make the outlines, the others tell what they hold */
#define STOP_AREA_SHARE 0.9 /* of the rests that an outline is drawn around (advise/outline.h) */
#define STOP_AREA_SPANS (BALL_ROLES * RAIL_READINGS)

/* Of one ball. */
struct ball_area {
	size_t rests;           /* of the plays that count, those that ended with it on the bed */
	size_t inside;          /* and in the outline */
	size_t fallen;          /* plays in which it fell into a pocket */
	size_t left;            /* plays in which it left the table over a rail */
	struct outline outline; /* around the centres at rest [m], x across, y along */
	double along, across;   /* size of the outline [diamonds] */
	double bed_share;       /* area of the outline, as a share of what a centre can reach */
};

/* Where a ball meets a rail: the middle part, STOP_AREA_SHARE, of the plays. */
struct rail_span {
	int quantity;     /* of the reading (model/quantity.h) */
	enum rail rail;   /* the one that most plays met */
	size_t seen;      /* plays, of all, that met that rail */
	double low, high; /* along the rail [diamonds] */
};

struct stop_area {
	size_t
	    played; /* plays that count: those after the first STOP_AREA_MADE that could be played
	                  to their end; all counts are of these */
	struct ball_area balls[BALL_ROLES];
	size_t span_count;
	struct rail_span spans[STOP_AREA_SPANS]; /* of the rail readings that the design asks for */
};

/* Plays the shot STOP_AREA_DRAWS times.
 *   session  table, balls, cue; must outlive the call
 *   stream   number of the shot: shots of other numbers draw independently under one seed
 *   threads  as in base/parallel.h; the result is the same for any number
 * STATUS_OK; STATUS_INPUT with a static sentence in *why when the shot cannot stand on that table;
 * STATUS_SYSTEM. Release with stop_area_free in any case. */
enum status stop_area_make(const struct shot_design *design, const struct session *session,
                           const struct constant_draws *constants, uint64_t seed, uint64_t stream,
                           unsigned threads, struct stop_area *area, const char **why);
void stop_area_free(struct stop_area *area);

#endif
