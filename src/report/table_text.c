/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/table_text.h"

#include "report/format_value.h"
#include "report/paragraph.h"

static const char *mark(const struct table *table, unsigned bit)
{
	return (table->assumed & bit) != 0 ? " (assumed)" : "";
}

/* A length in millimetres as shown. */
static void millimetres(double metres, char out[NUMBER_SIZE])
{
	format_plain(metres * 1000, out);
}

static void print_balls(const struct table *table, size_t width, struct text *out)
{
	char diameter[NUMBER_SIZE], mass[NUMBER_SIZE], cue_diameter[NUMBER_SIZE],
	    cue_mass[NUMBER_SIZE];
	struct text words = {0};

	millimetres(table->ball_diameter, diameter);
	format_plain(table->ball_mass, mass);
	text_print(&words, "%s mm, %s kg", diameter, mass);
	if (table->cue_ball_diameter != table->ball_diameter ||
	    table->cue_ball_mass != table->ball_mass) {
		millimetres(table->cue_ball_diameter, cue_diameter);
		format_plain(table->cue_ball_mass, cue_mass);
		text_print(&words, "; cue ball %s mm, %s kg", cue_diameter, cue_mass);
	}
	paragraph_fact(out, "balls", width, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void print_pockets(const struct table *table, size_t width, struct text *out)
{
	char corner[NUMBER_SIZE], side[NUMBER_SIZE];
	struct text words = {0};

	millimetres(table->corner_mouth, corner);
	millimetres(table->side_mouth, side);
	if (table->pockets)
		text_print(&words, "half mouths: corner %s mm, side %s mm%s", corner, side,
		           mark(table, TABLE_ASSUMED_MOUTHS));
	else
		text_add(&words, "none");
	paragraph_fact(out, "pockets", width, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void print_length(const struct table *table, const char *name, size_t width, double metres,
                         const char *place, unsigned bit, struct text *out)
{
	char number[NUMBER_SIZE];
	struct text words = {0};

	millimetres(metres, number);
	if (metres > 0)
		text_print(&words, "%s mm %s%s", number, place, mark(table, bit));
	else
		text_add(&words, "none");
	paragraph_fact(out, name, width, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

void table_text_print(const struct table *table, size_t width, struct text *out)
{
	char length[NUMBER_SIZE], across[NUMBER_SIZE];
	struct text words = {0};

	number_print_fixed(table->length, 4, length);
	number_print_fixed(table->width, 4, across);
	text_print(&words, "%s, %s m x %s m nose to nose", table->preset, length, across);
	paragraph_fact(out, "table", width, text_bytes(&words));
	print_balls(table, width, out);
	print_length(table, "noses", width, table->nose_height, "above the bed",
	             TABLE_ASSUMED_NOSE_HEIGHT, out);
	print_length(table, "sight marks", width, table->sight_setback, "behind the noses",
	             TABLE_ASSUMED_SIGHT_SETBACK, out);
	print_pockets(table, width, out);
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void assumed_json(const struct table *table, struct json_writer *writer)
{
	json_open_array(writer, "assumed", true);
	if ((table->assumed & TABLE_ASSUMED_NOSE_HEIGHT) != 0)
		json_string(writer, NULL, "nose_height_m");
	if ((table->assumed & TABLE_ASSUMED_SIGHT_SETBACK) != 0)
		json_string(writer, NULL, "sight_setback_m");
	if ((table->assumed & TABLE_ASSUMED_MOUTHS) != 0) {
		json_string(writer, NULL, "corner_mouth_m");
		json_string(writer, NULL, "side_mouth_m");
	}
	json_close_array(writer);
}

void table_json_members(const struct table *table, struct json_writer *writer)
{
	json_string(writer, "preset", table->preset);
	json_number(writer, "length_m", table->length);
	json_number(writer, "width_m", table->width);
	json_number(writer, "nose_height_m", table->nose_height);
	json_number(writer, "sight_setback_m", table->sight_setback);
	json_boolean(writer, "pockets", table->pockets);
	if (table->pockets) {
		json_number(writer, "corner_mouth_m", table->corner_mouth);
		json_number(writer, "side_mouth_m", table->side_mouth);
	}
	json_number(writer, "ball_diameter_m", table->ball_diameter);
	json_number(writer, "ball_mass_kg", table->ball_mass);
	json_number(writer, "cue_ball_diameter_m", table->cue_ball_diameter);
	json_number(writer, "cue_ball_mass_kg", table->cue_ball_mass);
	assumed_json(table, writer);
	json_boolean(writer, "geometry_only", table->napped);
}

void tables_text_print(struct text *out)
{
	size_t count;
	const struct table *presets = table_presets(&count);

	for (size_t i = 0; i < count; i++) {
		text_print(out, "%s%s\n", i > 0 ? "\n" : "", presets[i].preset);
		table_text_print(&presets[i], 13, out);
		if (presets[i].napped)
			paragraph_fact(out, "cloth", 13, "napped: geometry only; fit with --nap");
		paragraph_fact(out, "source", 13, presets[i].source);
	}
	text_add(out, "\nAssumed: not taken from a standard; measure it where it matters.\n");
}

void tables_json_print(struct text *out)
{
	struct json_writer writer;
	size_t count;
	const struct table *presets = table_presets(&count);

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-tables");
	json_count(&writer, "version", 1);
	json_open_array(&writer, "tables", false);
	for (size_t i = 0; i < count; i++) {
		json_open_object(&writer, NULL, false);
		table_json_members(&presets[i], &writer);
		json_string(&writer, "source", presets[i].source);
		json_close_object(&writer);
	}
	json_close_array(&writer);
	json_close_object(&writer);
}
