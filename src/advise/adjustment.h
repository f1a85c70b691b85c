/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_ADJUSTMENT_H
#define RESTPOINT_ADVISE_ADJUSTMENT_H

#include <stdbool.h>
#include <stddef.h>

#include "advise/table_draws.h"
#include "table/table.h"

/* Standard strokes of which one thing is varied until a result comes out: the table of them, what
 * each gives on a table, and the value that gives the result wanted. All are played as if there
 * were no pockets, so that none is in the way. */

/* What the player changes, and its unit here. */
enum adjustment_varied {
	ADJUST_SPEED,  /* just after the strike [m/s] */
	ADJUST_AIM,    /* point on the nose of the aimed rail [diamonds along it] */
	ADJUST_HEIGHT, /* of the tip above the centre [ball radii] */
	ADJUST_SIDE,   /* of the tip to the right of the centre [ball radii] */
	ADJUST_CUT     /* angle between the way of the cue ball and the line of centres [degrees] */
};

/* What must come out. */
enum adjustment_kept {
	KEEP_RUN,    /* where the ball stops, the table unfolded at its short rails [diamonds] */
	KEEP_RAIL,   /* where the ball meets a rail [diamonds along it] */
	KEEP_CORNER, /* that it comes to the corner of head and right rail [diamonds beside it] */
	KEEP_RETURN, /* how far beyond the object ball the cue ball stops, played straight [diamonds] */
	KEEP_CUT     /* direction of the object ball beside the way of the cue ball [degrees] */
};

/* How they stand together in the answer. */
enum adjustment_group {
	GROUP_LAG,
	GROUP_KICK,
	GROUP_TIP,
	GROUP_SIDE,
	GROUP_SQUIRT,
	GROUP_STUN_CUT,
	GROUP_ROLLING_CUT,
	ADJUSTMENT_GROUPS
};

struct adjustment {
	const char *key;    /* in files */
	const char *title;  /* within its group */
	const char *setup;  /* in a player's words, without full stop; "" where the group says it */
	enum adjustment_group group;
	enum adjustment_varied varied;
	enum adjustment_kept kept;
	bool object_ball;   /* the ball sent is an object ball: its grip */
	bool elevated;      /* with the cue's elevation that the player gives */
	bool against_squirt; /* the cue is turned so that the ball leaves along the aim */
	bool headline;      /* not left out of a summary as one of many alike */
	double along, across; /* where the ball struck lies [diamonds] */
	double speed;       /* [m/s]; of a cut, at the contact */
	double height, side; /* of the tip [ball radii]; a cut is rolling at height 0.4, stunned at 0 */
	enum rail aim;      /* rail aimed at */
	double at;          /* where, unless that is varied [diamonds] */
	double distance;    /* centres of cue ball and object ball, KEEP_RETURN [diamonds] */
	int contact;        /* which rail contact; KEEP_RUN: how many short rails before the stop */
	enum rail arrives;  /* the rail it then meets, KEEP_RAIL */
	double wanted;      /* the result, in the unit of what is kept */
	double lowest, start, highest; /* of what is varied; where the search starts */
};

/* All, in the order in which they are told. */
const struct adjustment *adjustment_list(size_t *count);

/* A change smaller than this is not worth making: of a speed in percent, else in the unit of what
 * is varied. */
double adjustment_threshold(enum adjustment_varied varied);

/* A table to play on, with the cue. */
struct adjustment_table {
	struct table table;      /* its pockets are not used */
	struct drawn_table drawn;
	double end_mass_ratio;   /* ball mass / effective end mass of the cue; 0: no squirt */
	double elevation_deg;    /* of an elevated stroke */
};

/* What comes out beyond what is wanted when the varied thing has that value; NaN where it does not
 * come out at all (another rail is met, the object ball is missed, the tip would be farther from
 * the centre than STROKE_OFFSET_DESIGNED). */
double adjustment_result(const struct adjustment *adjustment, const struct adjustment_table *table,
                         double value);

/* The value that gives what is wanted, by Brent's method between two values on either side of it,
 * the nearest to `start` that are found; NaN when no stroke does it. */
double adjustment_solve(const struct adjustment *adjustment, const struct adjustment_table *table,
                        double start);

#endif
