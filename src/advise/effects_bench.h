/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_EFFECTS_BENCH_H
#define RESTPOINT_ADVISE_EFFECTS_BENCH_H

#include <stdbool.h>
#include <stddef.h>

#include "advise/table_draws.h"
#include "physics/ball.h"
#include "table/table.h"

/* A table and its balls as a place to play stated set-ups on. It is level and without nap and
 * pockets, so that a set-up shows what it is made for; an elevated cue does not lift a ball but
 * where a set-up is about jumping. Lengths of set-ups are in long diamonds of the table, and its
 * coordinates in diamonds. Part of advise/effects. */

struct effects_bench {
	struct table table;
	struct constants constants;
	struct rail_character rails[RAIL_COUNT];
	struct ball_body bodies[BALL_ROLES];
	double diamond; /* along the table [m] */
};

/* A stroke, and what else a set-up needs; each measure says what it uses. */
struct effect_play {
	double speed;         /* just after the strike, or at the contact [m/s] */
	double height, side;  /* of the tip, fractions of the radius */
	double elevation_deg; /* of the cue */
	double squirt_ratio;  /* ball mass over effective end mass of the cue; 0: no squirt */
	double distance;      /* [diamonds] */
	double angle_deg;     /* cut, or angle to the rail */
	double from_long, from_short; /* where the cue ball stands [diamonds] */
	double at;  /* where the line of aim meets the nose of the rail [diamonds] */
	int number; /* which landing */
};

/*   grip  what the grips of the drawn table are multiplied by, by the ball's part */
struct effects_bench effects_bench_make(const struct table *table, const struct drawn_table *drawn,
                                        const double grip[BALL_ROLES]);

/* The cue ball of a bench, just struck at (0, 0) along y. */
struct ball_state effects_bench_strike(const struct effects_bench *bench,
                                       const struct effect_play *play);

/* The cue ball struck from its place toward a point of the table [m]. */
struct ball_state effects_bench_shoot(const struct effects_bench *bench,
                                      const struct effect_play *play, struct vector3 to);

/* Follows a ball on an endless cloth until it has come so far along y [m], or for so long [s];
 * false where it comes to rest before. */
bool effects_bench_run(const struct effects_bench *bench, struct ball_state *state, double far);
void effects_bench_wait(const struct effects_bench *bench, struct ball_state *state, double time);

/* Where a ball of the bench stops on an endless cloth [m]. */
struct vector3 effects_bench_stop(const struct effects_bench *bench,
                                  const struct ball_state *state);

/* Plays the cue ball, on an endless cloth, into object balls at rest: their states, the cue ball's
 * first, just after the first contact and those at the same moment. False where there is none.
 *   count  of balls, 2 or 3 */
bool effects_bench_meet(const struct effects_bench *bench, struct ball_state *states, size_t count);

/* Plays a ball of the bench alone on the table.
 *   role    which ball
 *   longer  how often as long the table is, with the foot rail farther away
 *   rails   contacts with rails, 1 or more: receives the state just after the last of them
 *   order   which rails those are
 * False where it comes to rest before, or meets others; *state is as it was then. */
bool effects_bench_rails(const struct effects_bench *bench, enum ball_role role, double longer,
                         int rails, const enum rail *order, struct ball_state *state);

/* The same of the cue ball, and where the ball then crosses a line: axis 0 at x, axis 1 at y [m], before it meets
 * another rail or soon after. */
bool effects_bench_cross(const struct effects_bench *bench, int rails, const enum rail *order,
                         int axis, double line, struct ball_state *state);

/* Where the cue ball stops on the table. False where the play has no end. */
bool effects_bench_rest(const struct effects_bench *bench, struct ball_state *state);

#endif
