/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/trace_text.h"

#include <math.h>
#include <string.h>

#include "base/number.h"

/* The key of a shot is a line without control characters; a comma or a quote may stand in it. */
static void add_cell(struct text *out, const char *value)
{
	if (strpbrk(value, ",\"") != NULL)
		text_add_quoted(out, value);
	else
		text_add(out, value);
}

static void next_number(struct text *out, double value)
{
	char number[NUMBER_SIZE];

	text_add(out, ",");
	if (!isfinite(value))
		return;
	number_print(value == 0.0 ? 0.0 : value, number); /* no minus before a zero */
	text_add(out, number);
}

/* The cells that rows of both kinds have: shot to height. */
static void add_place(const struct traced_shot *shot, enum ball_role ball, double time,
                      struct vector3 position, struct text *out)
{
	struct trace_place place =
	    trace_place(shot->table, position, shot->setup.bodies[ball].radius);

	add_cell(out, shot->design->key);
	text_print(out, ",%s", ball_role_name(ball));
	next_number(out, time);
	next_number(out, place.along);
	next_number(out, place.across);
	next_number(out, place.height);
}

static void add_point(const struct traced_shot *shot, enum ball_role ball,
                      const struct trace_point *point, struct text *out)
{
	add_place(shot, ball, point->time, point->state.position, out);
	next_number(out, trace_speed(point));
	next_number(out, point->state.spin.y);
	next_number(out, point->state.spin.x);
	next_number(out, point->state.spin.z);
	text_print(out, ",%s,,,,,\n", trace_phase_word(point->phase));
}

static void add_event(const struct traced_shot *shot, const struct trace_event *event,
                      struct text *out)
{
	add_place(shot, event->ball, event->time, event->position, out);
	text_print(out, ",,,,,,%s,", trace_event_word(event->kind));
	if (event->number > 0)
		text_print(out, "%d", event->number);
	text_print(out, ",%s", event->rail < RAIL_COUNT ? rail_name(event->rail) : "");
	text_print(out, ",%s", event->other != event->ball ? ball_role_name(event->other) : "");
	next_number(out, event->approach);
	text_add(out, "\n");
}

void trace_text_print(const struct trace_set *set, struct text *out)
{
	text_add(out, "shot,ball,time_s,long,short,height_mm,speed_m_s,spin_long_rad_s,"
	              "spin_short_rad_s,spin_up_rad_s,phase,event,number,rail,other_ball,"
	              "approach_m_s\n");
	for (size_t i = 0; i < set->count; i++) {
		const struct traced_shot *shot = &set->shots[i];

		for (int ball = 0; ball < BALL_ROLES; ball++)
			for (size_t k = 0; k < shot->paths[ball].count; k++)
				add_point(shot, (enum ball_role)ball, &shot->paths[ball].points[k], out);
		for (size_t k = 0; k < shot->event_count; k++)
			add_event(shot, &shot->events[k], out);
	}
}
