/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/trace_lines.h"

#include <math.h>
#include <stdlib.h>

#define ARROW_LENGTH 2.6   /* on the paper [mm] */
#define ARROW_HALF 0.75    /* half its width */
#define ARROW_SHARE 0.55   /* of the leg, where its point is */
#define ARROW_LEG 18.0     /* a shorter leg has none */
#define SAME_VELOCITY 1e-6 /* [m/s] */

struct canvas_pen trace_lines_pen(enum trace_phase phase)
{
	if (phase == TRACE_SLIDING)
		return (struct canvas_pen){DRAWING_HEAVY, CANVAS_SOLID};
	if (phase == TRACE_FLYING)
		return (struct canvas_pen){DRAWING_MIDDLE, CANVAS_DASHED};
	return (struct canvas_pen){DRAWING_THIN, CANVAS_SOLID};
}

static bool is_way(enum trace_phase phase)
{
	return phase == TRACE_ROLLING || phase == TRACE_SLIDING || phase == TRACE_FLYING;
}

static double distance(struct canvas_point a, struct canvas_point b)
{
	return hypot(b.x - a.x, b.y - a.y);
}

/* An arrow with its point on the line from one point to the next. */
static void draw_arrow(struct drawing *drawing, struct canvas_point from, struct canvas_point to,
                       double share)
{
	double length = distance(from, to);
	double x = (to.x - from.x) / length, y = (to.y - from.y) / length;
	struct canvas_point tip = {from.x + share * (to.x - from.x),
	                           from.y + share * (to.y - from.y)};
	struct canvas_point back = {tip.x - ARROW_LENGTH * x, tip.y - ARROW_LENGTH * y};
	struct canvas_point points[] = {{back.x - ARROW_HALF * y, back.y + ARROW_HALF * x},
	                                tip,
	                                {back.x + ARROW_HALF * y, back.y - ARROW_HALF * x}};

	canvas_lines(drawing->canvas, points, 3, (struct canvas_pen){DRAWING_THIN, CANVAS_SOLID});
	label_field_add_line(&drawing->labels, points[0], tip);
	label_field_add_line(&drawing->labels, tip, points[2]);
}

/* An arrow on a leg of `count` points, if it is long enough. */
static void mark_leg(struct drawing *drawing, const struct canvas_point *points, size_t count)
{
	double length = 0.0, wanted;

	for (size_t i = 1; i < count; i++)
		length += distance(points[i - 1], points[i]);
	if (length < ARROW_LEG)
		return;
	wanted = ARROW_SHARE * length;
	for (size_t i = 1; i < count; i++) {
		double step = distance(points[i - 1], points[i]);

		if (wanted <= step && step > 0.0) {
			draw_arrow(drawing, points[i - 1], points[i], wanted / step);
			return;
		}
		wanted -= step;
	}
}

/* Whether a contact lies between a point and the one before. */
static bool is_turned(const struct trace_path *path, size_t i)
{
	struct vector3 change = vector3_subtract(path->points[i].state.velocity,
	                                         path->points[i - 1].state.velocity);

	return path->points[i].begins && vector3_norm_flat(change) > SAME_VELOCITY;
}

static void draw_legs(struct drawing *drawing, const struct trace_path *path,
                      const struct canvas_point *points)
{
	for (size_t first = 0, next; first < path->count; first = next) {
		for (next = first + 1; next < path->count && !is_turned(path, next);)
			next++;
		mark_leg(drawing, points + first, next - first);
	}
}

static void draw_stretches(struct drawing *drawing, const struct trace_path *path,
                           const struct canvas_point *points)
{
	for (size_t first = 0, next; first < path->count; first = next) {
		enum trace_phase phase = path->points[first].phase;

		for (next = first + 1; next < path->count && !path->points[next].begins; next++)
			if (is_way(phase))
				label_field_add_line(&drawing->labels, points[next - 1], points[next]);
		if (is_way(phase))
			canvas_lines(drawing->canvas, points + first, next - first,
			             trace_lines_pen(phase));
	}
}

enum status trace_lines_draw(struct drawing *drawing, const struct trace_path *path)
{
	struct canvas_point *points = calloc(path->count + 1, sizeof *points);

	if (points == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < path->count; i++)
		points[i] = drawing_place(drawing, path->points[i].state.position);
	draw_stretches(drawing, path, points);
	draw_legs(drawing, path, points);
	free(points);
	return STATUS_OK;
}
