/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_TRACE_H
#define RESTPOINT_SHOT_TRACE_H

#include <stdbool.h>
#include <stddef.h>

#include "physics/cloth.h"
#include "shot/play.h"

/* The whole way of every ball of a played shot, kept as the pieces of motion that shot_play went
 * through: nothing is sampled, so any moment can be asked for afterwards and is as exact as the
 * play itself. */

/* One ball during one phase of motion, or a piece of one. */
struct trace_piece {
	size_t ball;
	double start_time, end_time; /* since the strike [s] */
	struct ball_state start;
	struct cloth_motion motion;  /* that starts there */
};

/* Set it to zero to start; shot_trace_free at the end. Give it to a play as the trace of its scene,
 * and to one play only. */
struct shot_trace {
	size_t count, capacity;
	struct trace_piece *pieces; /* in the order in which they ended */
	bool known[SHOT_BALLS];     /* balls that were on the table */
	struct trace_piece last[SHOT_BALLS]; /* the last piece of each, even one of no length */
	bool memory_out;            /* a piece could not be kept: the trace is of no use */
};

void shot_trace_free(struct shot_trace *trace);

/* Adds a piece of a ball's way; one of no length only tells where the ball was last. Called by
 * shot_play. Without memory memory_out is set, and nothing is added any more.
 *   start, motion  as cloth_advance takes them, `start` being the state at start_time */
void shot_trace_segment(struct shot_trace *trace, size_t ball, double start_time, double end_time,
                        const struct ball_state *start, const struct cloth_motion *motion);

/* The state at a time of a piece, start_time <= time <= end_time: to the bit what the play had when
 * the phase ends there. radius: of the ball [m]. */
struct ball_state trace_piece_at(const struct trace_piece *piece, double time, double radius);

/* The state of a ball at any time from the strike on; where two pieces meet (a contact), the state
 * after it. Behind the end of the play the ball stays where it was, and side spin goes on to fall.
 *   radius  of the ball [m]
 *   phase   receives its phase of motion then; may be NULL
 * False for a ball that was not on the table or a time before the strike. */
bool shot_trace_at(const struct shot_trace *trace, size_t ball, double time, double radius,
                   struct ball_state *state, enum cloth_phase *phase);

#endif
