/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/trace.h"

#include <stdlib.h>

void shot_trace_free(struct shot_trace *trace)
{
	free(trace->pieces);
	*trace = (struct shot_trace){.count = 0};
}

static bool make_room(struct shot_trace *trace)
{
	size_t capacity = trace->capacity == 0 ? 64 : 2 * trace->capacity;
	struct trace_piece *pieces;

	if (trace->count < trace->capacity)
		return true;
	pieces = realloc(trace->pieces, capacity * sizeof *pieces);
	if (pieces == NULL)
		return false;
	trace->pieces = pieces;
	trace->capacity = capacity;
	return true;
}

void shot_trace_segment(struct shot_trace *trace, size_t ball, double start_time, double end_time,
                        const struct ball_state *start, const struct cloth_motion *motion)
{
	struct trace_piece piece = {.ball = ball,
	                            .start_time = start_time,
	                            .end_time = end_time,
	                            .start = *start,
	                            .motion = *motion};

	trace->known[ball] = true;
	trace->last[ball] = piece;
	if (!(end_time > start_time) || trace->memory_out)
		return;
	if (!make_room(trace)) {
		trace->memory_out = true;
		return;
	}
	trace->pieces[trace->count++] = piece;
}

struct ball_state trace_piece_at(const struct trace_piece *piece, double time, double radius)
{
	double elapsed = time - piece->start_time;

	/* The same sum that the play makes: rounding must not hide that the phase is over. */
	if (time >= piece->start_time + piece->motion.duration)
		elapsed = piece->motion.duration;
	return elapsed > 0.0 ? cloth_advance(&piece->start, &piece->motion, radius, elapsed)
	                     : piece->start;
}

/* The piece of that ball that begins last at or before that time; NULL: none does. */
static const struct trace_piece *find_piece(const struct shot_trace *trace, size_t ball,
                                            double time)
{
	for (size_t i = trace->count; i-- > 0;)
		if (trace->pieces[i].ball == ball && trace->pieces[i].start_time <= time)
			return &trace->pieces[i];
	return NULL;
}

bool shot_trace_at(const struct shot_trace *trace, size_t ball, double time, double radius,
                   struct ball_state *state, enum cloth_phase *phase)
{
	const struct trace_piece *piece;

	if (ball >= SHOT_BALLS || !trace->known[ball] || !(time >= 0.0))
		return false;
	piece = &trace->last[ball];
	if (time < piece->start_time)
		piece = find_piece(trace, ball, time);
	if (piece == NULL)
		return false;
	if (time > piece->end_time && piece->motion.phase != CLOTH_REST)
		time = piece->end_time;
	*state = trace_piece_at(piece, time, radius);
	if (phase != NULL)
		*phase = piece->motion.phase;
	return true;
}
