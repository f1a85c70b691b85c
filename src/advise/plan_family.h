/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_FAMILY_H
#define RESTPOINT_ADVISE_PLAN_FAMILY_H

#include <stdbool.h>
#include <stddef.h>

#include "model/protocol.h"
#include "table/table.h"

/* The shots that a plan chooses from: kinds of shots that players know, each over a grid of
 * positions, aims, speeds and strokes. Balls lie on whole, half or quarter diamonds and aims are at
 * such, so that people find them. */

enum plan_kind {
	PLAN_LAG,        /* up the middle and back to rest */
	PLAN_ROLL,       /* along the table to rest, short of the foot rail */
	PLAN_RAMP_ROLL,  /* the same from a ramp */
	PLAN_RAMP_CROSS, /* from a ramp squarely to the right rail and back */
	PLAN_CROSS,      /* squarely across the table with side */
	PLAN_KICK,       /* rolling, off a long rail to the other one */
	PLAN_RUNNING,    /* short rail first, with side, to the long rail */
	PLAN_THREE,      /* three rails, long rail first */
	PLAN_CUT,        /* rolling cut, first rails of both balls */
	PLAN_FULL,       /* full hit with draw, stop or follow, rest of the cue ball */
	PLAN_FOLLOW,     /* soft rolling full hit up the middle, rests of both balls */
	PLAN_PAIR,       /* touching pair, first rails of both balls */
	PLAN_SPIN,       /* spin on the spot after a full hit */
	PLAN_KINDS
};

/* How a player's strokes scatter, 1 sd. */
struct plan_spreads {
	double speed; /* of the logarithm */
	double aim; /* [degrees], at a place on a rail; at a ball half of it full, 5/6 of it cut */
	double height, side; /* fraction of the radius */
};

/* What the shipped protocols assume. */
#define PLAN_SPREAD_SPEED 0.12
#define PLAN_SPREAD_AIM 0.3
#define PLAN_SPREAD_TIP 0.05

/* One shot that may be chosen. Its design has one try and no texts but a key of its kind. */
struct plan_candidate {
	enum plan_kind kind;
	struct shot_design design;
};

/* "lag", "roll", ...: the beginning of a shot's key. */
const char *plan_kind_name(enum plan_kind kind);

/* What a shot of a kind counts for beside what the linear formula says, found by fits of simulated
 * sessions: of plans with four strokes over three rails a sixth of the fits ended at a wrong table,
 * of plans without them a fifteenth. 0.3 for three rails, 1 for the others. */
double plan_kind_trust(enum plan_kind kind);

/* Fills candidates with about `count` shots that the kit (of enum protocol_kit) can measure, spread
 * evenly over the grids of all kinds, at most `count`; returns how many. Places are read off the
 * diamonds, with or without a tape. Speeds are those of a 9-foot table scaled by the root of the
 * length. */
size_t plan_family_fill(const struct table *table, unsigned kit, const struct plan_spreads *spreads,
                        size_t count, struct plan_candidate *candidates);

/* Seconds that one more stroke of the shot takes, and what its first stroke takes besides (finding
 * and placing). Assumed, not measured: 25 s a stroke, 10 s more with an object ball, 5 s with a
 * watch, 40 s for each new shot. It gives the minutes that the shipped protocols state. */
double plan_stroke_seconds(const struct shot_design *design);
#define PLAN_SHOT_SECONDS 40.0

#endif
