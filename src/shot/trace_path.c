/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/trace_path.h"

#include <math.h>
#include <stdlib.h>

#define STEPS_MOST 65536
#define QUARTERS_MISS 0.9 /* what three places in a step show of the deviation in all of it */

void trace_path_free(struct trace_path *path)
{
	free(path->points);
	*path = (struct trace_path){.count = 0};
}

static enum status add_point(struct trace_path *path, const struct trace_point *point)
{
	if (path->count == path->capacity) {
		size_t capacity = path->capacity == 0 ? 64 : 2 * path->capacity;
		struct trace_point *points = realloc(path->points, capacity * sizeof *points);

		if (points == NULL)
			return STATUS_SYSTEM;
		path->points = points;
		path->capacity = capacity;
	}
	path->points[path->count++] = *point;
	return STATUS_OK;
}

/* A piece of a way, or a part of it that is one phase in the words of this file. */
struct stretch {
	const struct trace_piece *piece;
	double from, to;
	double radius;
	enum trace_phase phase;
};

static struct vector3 place_at(const struct stretch *stretch, double time)
{
	return trace_piece_at(stretch->piece, time, stretch->radius).position;
}

/* How far the ball gets from the straight and even way between two times. */
static double deviation(const struct stretch *stretch, double from, double to)
{
	struct vector3 first = place_at(stretch, from), last = place_at(stretch, to);
	double most = 0.0;

	for (int quarter = 1; quarter < 4; quarter++) {
		double share = 0.25 * quarter;
		struct vector3 even = vector3_add(vector3_scale(1.0 - share, first),
		                                  vector3_scale(share, last));
		struct vector3 place = place_at(stretch, from + share * (to - from));

		most = fmax(most, vector3_norm(vector3_subtract(place, even)));
	}
	return most;
}

static double step_time(const struct stretch *stretch, int step, int steps)
{
	if (step == steps)
		return stretch->to;
	return stretch->from + (stretch->to - stretch->from) * step / steps;
}

/* Equal steps, as few as do: with a constant acceleration the deviation falls with their square. */
static int count_steps(const struct stretch *stretch, double tolerance)
{
	double allowed = QUARTERS_MISS * tolerance;
	int steps = 1;

	while (steps < STEPS_MOST) {
		double most = 0.0;

		for (int i = 0; i < steps; i++)
			most = fmax(most, deviation(stretch, step_time(stretch, i, steps),
			                            step_time(stretch, i + 1, steps)));
		if (!(most > allowed))
			break;
		steps = (int)fmin(STEPS_MOST, fmax(steps + 1, ceil(steps * sqrt(most / allowed))));
	}
	return steps;
}

static bool vectors_equal(struct vector3 a, struct vector3 b)
{
	return a.x == b.x && a.y == b.y && a.z == b.z;
}

/* Whether a path goes on from its last point without anything new. */
static bool goes_on(const struct trace_path *path, const struct trace_point *point)
{
	const struct trace_point *last;

	if (path->count == 0)
		return false;
	last = &path->points[path->count - 1];
	return last->time == point->time && last->phase == point->phase &&
	       vectors_equal(last->state.position, point->state.position) &&
	       vectors_equal(last->state.velocity, point->state.velocity) &&
	       vectors_equal(last->state.spin, point->state.spin);
}

static enum status add_stretch(const struct stretch *stretch, double tolerance,
                               struct trace_path *path)
{
	int steps = stretch->to > stretch->from ? count_steps(stretch, tolerance) : 0;
	enum status status = STATUS_OK;

	for (int i = 0; i <= steps && status == STATUS_OK; i++) {
		double time = i == 0 ? stretch->from : step_time(stretch, i, steps);
		struct trace_point point = {
		    .time = time,
		    .state = trace_piece_at(stretch->piece, time, stretch->radius),
		    .phase = stretch->phase,
		    .begins = i == 0};

		if (i > 0 || !goes_on(path, &point))
			status = add_point(path, &point);
	}
	return status;
}

/* A ball at rest: first spinning, where it does, then still. */
static enum status add_rest(struct stretch stretch, double tolerance, struct trace_path *path)
{
	const struct trace_piece *piece = stretch.piece;
	double spin_end = piece->start_time + cloth_side_time(&piece->start, &piece->motion);
	double to = stretch.to;
	enum status status = STATUS_OK;

	if (piece->start.spin.z != 0.0) {
		stretch.phase = TRACE_SPINNING;
		stretch.to = fmin(spin_end, to);
		status = add_stretch(&stretch, tolerance, path);
		stretch.from = stretch.to;
	}
	if (status != STATUS_OK || (piece->start.spin.z != 0.0 && spin_end > to))
		return status;
	stretch.phase = TRACE_STILL;
	stretch.to = to;
	return add_stretch(&stretch, tolerance, path);
}

static enum status add_piece(const struct trace_piece *piece, double to, double radius,
                             double tolerance, struct trace_path *path)
{
	struct stretch stretch = {
	    .piece = piece, .from = piece->start_time, .to = to, .radius = radius};

	switch (piece->motion.phase) {
	case CLOTH_REST:
		return add_rest(stretch, tolerance, path);
	case CLOTH_ROLLING:
		stretch.phase = TRACE_ROLLING;
		break;
	case CLOTH_SLIDING:
		stretch.phase = TRACE_SLIDING;
		break;
	case CLOTH_FLYING:
		stretch.phase = TRACE_FLYING;
		break;
	}
	return to > stretch.from ? add_stretch(&stretch, tolerance, path) : STATUS_OK;
}

enum status trace_path_make(const struct shot_trace *trace, size_t ball, double radius,
                            double until, double tolerance, struct trace_path *path)
{
	const struct trace_piece *last = &trace->last[ball];
	enum status status = trace->memory_out ? STATUS_SYSTEM : STATUS_OK;
	double end = last->end_time;

	if (!trace->known[ball])
		return status;
	for (size_t i = 0; i < trace->count && status == STATUS_OK; i++) {
		const struct trace_piece *piece = &trace->pieces[i];

		if (piece->ball == ball && piece->start_time < last->start_time)
			status = add_piece(piece, piece->end_time, radius, tolerance, path);
	}
	if (last->motion.phase == CLOTH_REST && until > end)
		end = until;
	return status == STATUS_OK ? add_piece(last, end, radius, tolerance, path) : status;
}
