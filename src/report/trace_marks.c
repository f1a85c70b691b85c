/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/trace_marks.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "report/trace_words.h"

#define BALLOON 1.75      /* radius of the circle around a number */
#define BALLOON_TYPE 2.2
#define CROSS 1.9         /* half a tick */
#define BEHIND_NOSE 1.2   /* how far a tick at a rail goes on behind the nose */
#define LANDING_LEAST 0.15 /* from a height of a good millimetre [m/s] */
#define SAME_PLACE 0.001  /* [m] */

#define LIST_COLUMNS 4
#define LIST_BOTTOM 205.0
#define LIST_STEP 3.3
#define LIST_TYPE 2.4

static bool may_be_slow(enum trace_event_kind kind)
{
	return kind == TRACE_RAIL || kind == TRACE_CONTACT || kind == TRACE_BOUNCE;
}

void trace_marks_choose(const struct traced_shot *shot, struct trace_marks *marks)
{
	int number = 0;

	marks->count = 0;
	for (size_t i = 0; i < shot->event_count; i++) {
		const struct trace_event *event = &shot->events[i];
		double least = event->kind == TRACE_BOUNCE ? LANDING_LEAST : SHOT_SLOW;
		bool contact = event->kind != TRACE_REST && event->kind != TRACE_STOPPED;

		if (event->kind == TRACE_STRIKE || (may_be_slow(event->kind) && event->approach < least))
			continue;
		marks->events[marks->count] = event;
		marks->numbers[marks->count++] = contact ? ++number : 0;
	}
}

/* Where a ball is at an event, which is at the end of one of its stretches. */
static struct trace_point point_at(const struct traced_shot *shot, enum ball_role ball,
                                   double time)
{
	const struct trace_path *path = &shot->paths[ball];
	size_t i = 0;

	while (i + 1 < path->count && path->points[i].time < time)
		i++;
	return path->points[i];
}

static struct canvas_point beside(struct canvas_point at, double x, double y)
{
	return (struct canvas_point){at.x + x, at.y + y};
}

static void draw_tick(struct drawing *drawing, struct canvas_point from, struct canvas_point to)
{
	canvas_line(drawing->canvas, from, to, (struct canvas_pen){DRAWING_MIDDLE, CANVAS_SOLID});
	label_field_add_line(&drawing->labels, from, to);
}

/* A ball where it is met, unless it is drawn there anyway. */
static void draw_met_ball(struct drawing *drawing, const struct traced_shot *shot,
                          enum ball_role ball, struct vector3 position)
{
	const struct vector3 drawn[] = {shot->setup.balls[ball].position,
	                                shot->record.ends[ball].position};
	struct canvas_point at = drawing_place(drawing, position);
	double radius = drawing->scale * shot->setup.bodies[ball].radius;

	for (size_t i = 0; i < 2; i++)
		if (vector3_norm_flat(vector3_subtract(drawn[i], position)) < SAME_PLACE)
			return;
	canvas_circle(drawing->canvas, at, radius, (struct canvas_pen){0.3, CANVAS_DOTTED});
	label_field_add_circle(&drawing->labels, at, radius);
}

/* Across the line of centres, where the balls touch. Returns where that is. */
static struct canvas_point mark_balls(struct drawing *drawing, const struct traced_shot *shot,
                                      const struct trace_event *event)
{
	struct vector3 first = event->position;
	struct vector3 second = point_at(shot, event->other, event->time).state.position;
	double reach = shot->setup.bodies[event->ball].radius;
	struct vector3 line = vector3_subtract(second, first);
	struct canvas_point at;

	line.z = 0.0;
	line = vector3_scale(1.0 / fmax(vector3_norm(line), 1e-9), line);
	at = drawing_place(drawing, vector3_add(first, vector3_scale(reach, line)));
	draw_met_ball(drawing, shot, event->ball, first);
	draw_met_ball(drawing, shot, event->other, second);
	/* Paper x is along the table, paper y across. */
	draw_tick(drawing, beside(at, -CROSS * line.x, CROSS * line.y),
	          beside(at, CROSS * line.x, -CROSS * line.y));
	return at;
}

/* From the centre of the ball square through the nose. Returns the end behind it. */
static struct canvas_point mark_rail(struct drawing *drawing, const struct traced_shot *shot,
                                     const struct trace_event *event)
{
	double reach = drawing->scale * shot->setup.bodies[event->ball].radius + BEHIND_NOSE;
	struct canvas_point at = drawing_place(drawing, event->position), end = at;

	if (rail_is_long(event->rail))
		end.y += event->rail == RAIL_RIGHT ? reach : -reach;
	else
		end.x += event->rail == RAIL_FOOT ? reach : -reach;
	draw_tick(drawing, at, end);
	return end;
}

/* Across the way of the ball. */
static struct canvas_point mark_bounce(struct drawing *drawing, const struct traced_shot *shot,
                                       const struct trace_event *event)
{
	struct vector3 v = point_at(shot, event->ball, event->time).state.velocity;
	struct canvas_point at = drawing_place(drawing, event->position);
	double part = CROSS / fmax(vector3_norm_flat(v), 1e-9);

	draw_tick(drawing, beside(at, -part * v.x, part * v.y), beside(at, part * v.x, -part * v.y));
	return at;
}

static struct canvas_point draw_mark(struct drawing *drawing, const struct traced_shot *shot,
                                     const struct trace_event *event)
{
	if (event->kind == TRACE_CONTACT)
		return mark_balls(drawing, shot, event);
	if (event->kind == TRACE_BOUNCE)
		return mark_bounce(drawing, shot, event);
	return mark_rail(drawing, shot, event);
}

/* A number in a circle, near its tick. */
static void draw_number(struct drawing *drawing, struct canvas_point at, int number)
{
	struct canvas_pen hair = {DRAWING_HAIR, CANVAS_SOLID};
	struct canvas_point middle;
	struct label_box box;
	char words[NUMBER_SIZE];
	bool far;

	box = label_field_place(&drawing->labels, at, 2.0 * BALLOON, 2.0 * BALLOON, 0.5, &far);
	middle = (struct canvas_point){box.left + BALLOON, box.top + BALLOON};
	number_print(number, words);
	canvas_circle(drawing->canvas, middle, BALLOON, hair);
	canvas_words(drawing->canvas,
	             beside(middle, 0.0, 0.5 * CANVAS_CAPITAL * BALLOON_TYPE), BALLOON_TYPE,
	             CANVAS_CENTRE, words);
	if (far) {
		double x = at.x - middle.x, y = at.y - middle.y;
		double share = BALLOON / hypot(x, y);
		struct canvas_point edge = beside(middle, share * x, share * y);

		canvas_line(drawing->canvas, at, edge, hair);
		label_field_add_line(&drawing->labels, at, edge);
	}
}

/* The name of a ball is not to stand beside another that is met. */
static void add_rivals(struct drawing *drawing, const struct traced_shot *shot,
                       const struct trace_event *event)
{
	struct trace_point other = point_at(shot, event->other, event->time);

	label_field_add_rival(&drawing->labels, drawing_place(drawing, event->position));
	label_field_add_rival(&drawing->labels, drawing_place(drawing, other.state.position));
}

void trace_marks_draw(struct drawing *drawing, const struct traced_shot *shot,
                      const struct trace_marks *marks)
{
	struct canvas_point places[TRACE_EVENTS];

	for (size_t i = 0; i < marks->count; i++)
		if (marks->numbers[i] > 0)
			places[i] = draw_mark(drawing, shot, marks->events[i]);
	for (size_t i = 0; i < marks->count; i++)
		if (marks->numbers[i] > 0)
			draw_number(drawing, places[i], marks->numbers[i]);
	for (size_t i = 0; i < marks->count; i++)
		if (marks->events[i]->kind == TRACE_CONTACT)
			add_rivals(drawing, shot, marks->events[i]);
}

static void say_what(const struct trace_event *event, struct text *out)
{
	text_add(out, ball_role_name(event->ball));
	switch (event->kind) {
	case TRACE_RAIL:
		text_print(out, " meets %s rail", rail_name(event->rail));
		break;
	case TRACE_CONTACT:
		text_print(out, " meets %s", ball_role_name(event->other));
		break;
	case TRACE_POCKET:
		text_print(out, " falls at %s rail", rail_name(event->rail));
		break;
	case TRACE_LEAVE:
		text_print(out, " off over %s rail", rail_name(event->rail));
		break;
	case TRACE_BOUNCE:
		text_add(out, " lands");
		break;
	case TRACE_REST:
		text_add(out, " at rest");
		break;
	case TRACE_STOPPED:
		text_add(out, " still, spin gone");
		break;
	case TRACE_STRIKE:
		text_add(out, " struck");
	}
}

/* Edges of the columns of the list, from the left of each: number and times end, words begin. */
enum { END_NUMBER = 5, END_TIME = 15, START_WHAT = 17, END_LONG = 56, END_SHORT = 65 };

static void write_at(struct drawing *drawing, double x, double y, enum canvas_anchor anchor,
                     const char *words)
{
	canvas_words(drawing->canvas, (struct canvas_point){x, y}, LIST_TYPE, anchor, words);
}

static void write_fixed(struct drawing *drawing, double x, double y, double value, int decimals)
{
	char words[NUMBER_SIZE];

	number_print_fixed(value, decimals, words);
	write_at(drawing, x, y, CANVAS_RIGHT, words);
}

static void write_head(struct drawing *drawing, double x, double y)
{
	write_at(drawing, x + END_NUMBER, y, CANVAS_RIGHT, "no.");
	write_at(drawing, x + END_TIME, y, CANVAS_RIGHT, "time s");
	write_at(drawing, x + START_WHAT, y, CANVAS_LEFT, "what");
	write_at(drawing, x + END_LONG, y, CANVAS_RIGHT, "long");
	write_at(drawing, x + END_SHORT, y, CANVAS_RIGHT, "short");
	canvas_line(drawing->canvas, (struct canvas_point){x, y + 1.0},
	            (struct canvas_point){x + END_SHORT, y + 1.0},
	            (struct canvas_pen){DRAWING_HAIR, CANVAS_SOLID});
}

static void write_event(struct drawing *drawing, double x, double y,
                        const struct trace_event *event, int number)
{
	struct trace_place place = trace_place(drawing->table, event->position, 0.0);
	struct text what = {0};

	if (number > 0)
		write_fixed(drawing, x + END_NUMBER, y, number, 0);
	write_fixed(drawing, x + END_TIME, y, event->time, 3);
	say_what(event, &what);
	drawing_words_within(drawing, (struct canvas_point){x + START_WHAT, y}, LIST_TYPE,
	                     END_LONG - START_WHAT - 7.0, text_bytes(&what));
	text_free(&what);
	write_fixed(drawing, x + END_LONG, y, place.along, 2);
	write_fixed(drawing, x + END_SHORT, y, place.across, 2);
}

void trace_marks_list(struct drawing *drawing, const struct trace_marks *marks, double top)
{
	double width = (DRAWING_RIGHT - DRAWING_LEFT + 4.0) / LIST_COLUMNS, base = top + LIST_STEP;
	size_t rows = (size_t)fmax(1.0, floor((LIST_BOTTOM - base) / LIST_STEP));
	size_t room = rows * LIST_COLUMNS, shown = marks->count;

	if (shown > room)
		shown = room - 1;
	for (size_t i = 0; i < marks->count && i <= shown; i++) {
		double x = DRAWING_LEFT + width * (double)(i / rows);
		double y = base + LIST_STEP * (double)(i % rows + 1) + 0.6;
		struct text rest = {0};

		if (i % rows == 0)
			write_head(drawing, x, base);
		if (i < shown) {
			write_event(drawing, x, y, marks->events[i], marks->numbers[i]);
			continue;
		}
		text_print(&rest, "and %zu more: see a .csv or .json trace", marks->count - shown);
		write_at(drawing, x + START_WHAT - 12.0, y, CANVAS_LEFT, text_bytes(&rest));
		text_free(&rest);
	}
}
