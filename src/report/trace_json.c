/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/trace_json.h"

#include <math.h>

#include "files/json_text.h"
#include "model/constant_terms.h"

static void add_table(const struct table *table, struct json_writer *writer)
{
	json_open_object(writer, "table", true);
	json_string(writer, "preset", table->preset);
	json_number(writer, "length_m", table->length);
	json_number(writer, "width_m", table->width);
	json_boolean(writer, "pockets", table->pockets);
	json_close_object(writer);
}

static void add_constants(const struct constants *constants, struct json_writer *writer)
{
	json_open_object(writer, "constants", false);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		json_number(writer, constant_prior((enum constant_id)id)->name,
		            constants->value[id]);
	for (int term = 0; term < CONSTANT_TERMS; term++)
		if (constant_term_value(&constants->terms, (enum constant_term)term) != 0.0)
			json_number(writer, constant_term_rule((enum constant_term)term)->name,
			            constant_term_value(&constants->terms, (enum constant_term)term));
	json_close_object(writer);
}

/* Where something is: keys of points and events alike. */
static void add_place(const struct traced_shot *shot, enum ball_role ball,
                      struct vector3 position, struct json_writer *writer)
{
	struct trace_place place =
	    trace_place(shot->table, position, shot->setup.bodies[ball].radius);

	json_number(writer, "long", place.along);
	json_number(writer, "short", place.across);
	json_number(writer, "height_mm", place.height);
}

static void add_point(const struct traced_shot *shot, enum ball_role ball,
                      const struct trace_point *point, struct json_writer *writer)
{
	json_open_object(writer, NULL, true);
	json_number(writer, "time_s", point->time);
	add_place(shot, ball, point->state.position, writer);
	json_number(writer, "speed_m_s", trace_speed(point));
	json_number(writer, "spin_long_rad_s", point->state.spin.y);
	json_number(writer, "spin_short_rad_s", point->state.spin.x);
	json_number(writer, "spin_up_rad_s", point->state.spin.z);
	json_string(writer, "phase", trace_phase_word(point->phase));
	json_close_object(writer);
}

static void add_ball(const struct traced_shot *shot, enum ball_role ball,
                     struct json_writer *writer)
{
	const struct ball_body *body = &shot->setup.bodies[ball];

	json_open_object(writer, NULL, false);
	json_string(writer, "ball", ball_role_name(ball));
	json_number(writer, "diameter_m", 2.0 * body->radius);
	json_number(writer, "mass_kg", body->mass);
	json_open_array(writer, "path", false);
	for (size_t i = 0; i < shot->paths[ball].count; i++)
		add_point(shot, ball, &shot->paths[ball].points[i], writer);
	json_close_array(writer);
	json_close_object(writer);
}

static void add_event(const struct traced_shot *shot, const struct trace_event *event,
                      struct json_writer *writer)
{
	json_open_object(writer, NULL, true);
	json_number(writer, "time_s", event->time);
	json_string(writer, "event", trace_event_word(event->kind));
	json_string(writer, "ball", ball_role_name(event->ball));
	if (event->other != event->ball)
		json_string(writer, "other_ball", ball_role_name(event->other));
	if (event->rail < RAIL_COUNT)
		json_string(writer, "rail", rail_name(event->rail));
	if (event->number > 0)
		json_count(writer, "number", (unsigned long long)event->number);
	add_place(shot, event->ball, event->position, writer);
	if (isfinite(event->approach))
		json_number(writer, "approach_m_s", event->approach);
	json_close_object(writer);
}

static void add_shot(const struct traced_shot *shot, struct json_writer *writer)
{
	json_open_object(writer, NULL, false);
	json_string(writer, "shot", shot->design->key);
	json_open_array(writer, "balls", false);
	for (int ball = 0; ball < BALL_ROLES; ball++)
		if (shot->setup.present[ball])
			add_ball(shot, (enum ball_role)ball, writer);
	json_close_array(writer);
	json_open_array(writer, "events", false);
	for (size_t i = 0; i < shot->event_count; i++)
		add_event(shot, &shot->events[i], writer);
	json_close_array(writer);
	json_close_object(writer);
}

void trace_json_print(const struct trace_set *set, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-trace");
	json_count(&writer, "version", 1);
	json_string(&writer, "protocol", set->protocol->name);
	add_table(set->table, &writer);
	add_constants(set->constants, &writer);
	json_open_array(&writer, "shots", false);
	for (size_t i = 0; i < set->count; i++)
		add_shot(&set->shots[i], &writer);
	json_close_array(&writer);
	json_close_object(&writer);
}
