/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAYER_DRAWS_H
#define RESTPOINT_ADVISE_PLAYER_DRAWS_H

#include "base/random.h"
#include "estimate/stroke_model.h"

/* How a person strikes beside what the design of a shot asks for, as something to draw strokes
 * from: habits that all strokes of the person share, and what is new in each stroke. In the
 * standardised unknowns of estimate/stroke_model.h. */
struct player_draws {
	double habit[SHARED_HABITS];        /* middle of each */
	double habit_spread[SHARED_HABITS]; /* 1 sd of what is not known of it */
	double scatter[OWN_STROKE]; /* of speed, aim, height, side from stroke to stroke, as a multiple of
	                               the spreads of the design */
};

/* Strokes exactly as designed. */
struct player_draws player_draws_exact(void);

/* Somebody of whom nothing is known: the spreads of the design, and offsets of height, side and aim
 * that are drawn as well (physics.md 6). The habit of hitting everything harder or softer is left
 * out, and so is the speed that a ramp gives to all its shots: a player sees the first ball and
 * mends the pace. */
struct player_draws player_draws_anybody(void);

/* Draws a person and one stroke of that person: fills the habits of `shared` and the stroke's part
 * of `own` and leaves the rest of both alone. */
void player_draws_take(const struct player_draws *draws, struct random_stream *stream,
                       double shared[SHARED_UNKNOWNS], double own[OWN_UNKNOWNS]);

#endif
