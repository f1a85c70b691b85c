/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/setting_print.h"

#include <stdbool.h>
#include <string.h>

#include "files/plain_number.h"

/* Quotes are needed where the text would end or begin differently without them. */
static bool needs_quotes(const char *value)
{
	size_t length = strlen(value);
	if (length == 0)
		return false;
	if (strpbrk(value, ",\"\r\n") != NULL)
		return true;
	return strchr(" \t", value[0]) != NULL || strchr(" \t", value[length - 1]) != NULL;
}

void setting_print_cell(struct text *out, const char *value)
{
	if (needs_quotes(value))
		text_add_quoted(out, value);
	else
		text_add(out, value);
}

void setting_print_next_cell(struct text *out, const char *value)
{
	text_add(out, ",");
	if (value != NULL)
		setting_print_cell(out, value);
}

static void print_text(struct text *out, const char *key, const char *value)
{
	text_print(out, "#%s", key);
	setting_print_next_cell(out, value);
	text_add(out, "\n");
}

static void print_number(struct text *out, const char *key, double value, double unit)
{
	text_print(out, "#%s,", key);
	plain_number_print(out, value, unit, -1);
	text_add(out, "\n");
}

/* A number of the table that is not the preset's, or is and was stated all the same: then it is
 * no longer assumed. */
static void print_override(struct text *out, const char *key, double value, double preset,
                           bool stated)
{
	if (value != preset || stated)
		print_number(out, key, value, 1);
}

static void print_table(struct text *out, const struct table *table)
{
	const struct table *found = table_find_preset(table->preset, strlen(table->preset));
	struct table base = found != NULL ? *found : table_custom(table->length, table->width);
	unsigned stated = base.assumed & ~table->assumed;
	bool mouths = (stated & TABLE_ASSUMED_MOUTHS) != 0;
	print_text(out, "table", base.preset);
	if (found == NULL) {
		print_number(out, "length_m", table->length, 1);
		print_number(out, "width_m", table->width, 1);
	}
	print_override(out, "nose_height_m", table->nose_height, base.nose_height,
	               (stated & TABLE_ASSUMED_NOSE_HEIGHT) != 0);
	print_override(out, "sight_setback_m", table->sight_setback, base.sight_setback,
	               (stated & TABLE_ASSUMED_SIGHT_SETBACK) != 0);
	if (table->pockets != base.pockets)
		print_text(out, "pockets", table->pockets ? "yes" : "no");
	if (table->pockets) {
		print_override(out, "corner_mouth_m", table->corner_mouth, base.corner_mouth,
		               mouths);
		print_override(out, "side_mouth_m", table->side_mouth, base.side_mouth, mouths);
	}
	bool diameter = table->cue_ball_diameter != base.cue_ball_diameter;
	bool mass = table->cue_ball_mass != base.cue_ball_mass;
	print_override(out, "ball_diameter_m", table->ball_diameter, base.ball_diameter, diameter);
	print_override(out, "ball_mass_kg", table->ball_mass, base.ball_mass, mass);
}

static void print_balls(struct text *out, const struct session *session)
{
	for (size_t i = 0; i < session->ball_count; i++) {
		const struct labelled_ball *ball = &session->balls[i];
		const double numbers[] = {ball->diameter, ball->mass};
		static const char *const keys[] = {"ball_diameter_m", "ball_mass_kg"};
		for (size_t k = 0; k < 2; k++) {
			if (numbers[k] <= 0)
				continue;
			struct text key = {0};
			text_print(&key, "#%s:%s", keys[k], ball->label);
			setting_print_cell(out, text_bytes(&key));
			text_add(out, ",");
			plain_number_print(out, numbers[k], 1, -1);
			text_add(out, "\n");
			out->failed = out->failed || key.failed;
			text_free(&key);
		}
	}
}

static void print_errors(struct text *out, const struct reading_errors *errors)
{
	const struct {
		const char *key;
		double value, usual;
	} numbers[] = {
	    {"position_error", errors->position, ERROR_DEFAULT_POSITION},
	    {"rail_error", errors->rail, ERROR_DEFAULT_RAIL},
	    {"watch_error", errors->watch, ERROR_DEFAULT_WATCH},
	    {"rest_watch_error", errors->rest_watch, ERROR_DEFAULT_REST_WATCH},
	    {"sound_error", errors->sound, ERROR_DEFAULT_SOUND},
	    {"frames_per_second", errors->frames_per_second, 0},
	};
	for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
		if (numbers[i].value != numbers[i].usual)
			print_number(out, numbers[i].key, numbers[i].value, 1);
}

void setting_print_all(struct text *out, const struct session *session)
{
	print_table(out, &session->table);
	print_balls(out, session);
	if (strcmp(session->reference_ball, "A") != 0)
		print_text(out, "reference_ball", session->reference_ball);
	if (session->protocol != NULL)
		print_text(out, "protocol", session->protocol);
	for (size_t i = 0; i < SESSION_NOTES; i++)
		if (session->notes[i] != NULL)
			print_text(out, session_note_name((enum session_note)i), session->notes[i]);
	print_errors(out, &session->errors);
	if (session->microphone_known) {
		print_number(out, "microphone_long", session->microphone_long,
		             session->diamond_value);
		print_number(out, "microphone_short", session->microphone_short,
		             session->diamond_value);
	}
	if (session->cue_end_mass_ratio > 0)
		print_number(out, "cue_end_mass_ratio", session->cue_end_mass_ratio, 1);
	if (session->tip_width > 0)
		print_number(out, "tip_width_m", session->tip_width, 1);
	if (session->diamond_value != 1)
		print_number(out, "diamond_value", session->diamond_value, 1);
}
