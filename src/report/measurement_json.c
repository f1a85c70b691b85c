/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/measurement_text.h"

#include "files/json_text.h"
#include "report/measurement_summary.h"
#include "report/table_text.h"

static void write_notes(const struct session *session, struct json_writer *writer)
{
	json_open_object(writer, "session", false);
	for (int note = 0; note < SESSION_NOTES; note++) {
		if (session->notes[note] != NULL)
			json_string(writer, session_note_name(note), session->notes[note]);
	}
	json_close_object(writer);
}

static void write_balls(const struct session *session, struct json_writer *writer)
{
	json_string(writer, "reference_ball", session->reference_ball);
	json_open_object(writer, "balls", false);
	for (size_t i = 0; i < session->ball_count; i++) {
		double diameter, mass;

		session_ball(session, BALL_OBJECT, session->balls[i].label, &diameter, &mass);
		json_open_object(writer, session->balls[i].label, true);
		json_number(writer, "ball_diameter_m", diameter);
		json_number(writer, "ball_mass_kg", mass);
		json_close_object(writer);
	}
	json_close_object(writer);
}

static void write_errors(const struct reading_errors *errors, struct json_writer *writer)
{
	json_open_object(writer, "errors", true);
	json_number(writer, "position_error_diamonds", errors->position);
	json_number(writer, "rail_error_diamonds", errors->rail);
	if (errors->frames_per_second > 0) {
		json_number(writer, "frames_per_second", errors->frames_per_second);
	} else {
		json_number(writer, "watch_error_s", errors->watch);
		json_number(writer, "rest_watch_error_s", errors->rest_watch);
		json_number(writer, "sound_error_s", errors->sound);
	}
	json_close_object(writer);
}

static void write_instruments(const struct session *session, struct json_writer *writer)
{
	if (session->microphone_known) {
		json_open_object(writer, "microphone", true);
		json_number(writer, "long_diamonds", session->microphone_long);
		json_number(writer, "short_diamonds", session->microphone_short);
		json_close_object(writer);
	}
	if (session->cue_end_mass_ratio > 0)
		json_number(writer, "cue_end_mass_ratio", session->cue_end_mass_ratio);
	if (session->tip_width > 0)
		json_number(writer, "tip_width_m", session->tip_width);
}

static void write_protocol(const struct protocol *protocol, struct json_writer *writer)
{
	json_open_object(writer, "protocol", false);
	json_string(writer, "name", protocol->name);
	json_string(writer, "title", protocol->title);
	if (protocol->file != NULL)
		json_string(writer, "file", protocol->file);
	json_string(writer, "sha256", protocol->sha256);
	json_close_object(writer);
}

static void write_quantity(int number, const struct quantity_summary *summary,
                           struct json_writer *writer)
{
	bool diamonds = quantity_at(number).kind != QUANTITY_WATCH &&
	                quantity_at(number).kind != QUANTITY_SOUND;

	json_open_object(writer, quantity_name(number), true);
	json_count(writer, "count", summary->count);
	json_count(writer, "pockets", summary->pockets);
	if (summary->count > summary->pockets) {
		json_number(writer, diamonds ? "lowest_diamonds" : "lowest_s", summary->lowest);
		json_number(writer, diamonds ? "highest_diamonds" : "highest_s", summary->highest);
	}
	json_close_object(writer);
}

static void write_shot(const struct shot_design *shot, const struct shot_summary *summary,
                       struct json_writer *writer)
{
	json_open_object(writer, NULL, false);
	json_string(writer, "shot", shot->key);
	json_count(writer, "tries_designed", (unsigned long long)shot->tries);
	json_count(writer, "strokes", summary->strokes);
	json_count(writer, "set_aside", summary->set_aside);
	json_count(writer, "readings", summary->readings);
	json_open_object(writer, "measured", false);
	for (int q = 0; q < QUANTITY_COUNT; q++) {
		if (summary->quantities[q].count > 0)
			write_quantity(q, &summary->quantities[q], writer);
	}
	json_close_object(writer);
	json_close_object(writer);
}

static void write_shots(const struct measurement *measurement, const struct protocol *protocol,
                        struct json_writer *writer)
{
	struct shot_summary all = measurement_summary_all(measurement);

	json_count(writer, "strokes", all.strokes);
	json_count(writer, "readings", all.readings);
	json_open_array(writer, "shots", false);
	for (size_t i = 0; i < protocol->shot_count; i++) {
		struct shot_summary summary =
		    measurement_summary_shot(measurement, protocol->shots[i].key);

		write_shot(&protocol->shots[i], &summary, writer);
	}
	json_close_array(writer);
}

static void write_set_aside(const struct measurement *measurement, struct json_writer *writer)
{
	json_open_array(writer, "set_aside", false);
	for (size_t i = 0; i < measurement->row_count; i++) {
		const struct stroke_row *row = &measurement->rows[i];

		if (row->valid)
			continue;
		json_open_object(writer, NULL, true);
		json_count(writer, "line", row->line);
		json_string(writer, "shot", row->shot);
		json_string(writer, "reason", row->note != NULL ? row->note : "no reason given");
		json_close_object(writer);
	}
	json_close_array(writer);
}

void measurement_json_print(const struct measurement *measurement, const struct protocol *protocol,
                            const struct remarks *remarks, struct text *out)
{
	char separator[] = {measurement->separator, '\0'};
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-check");
	json_count(&writer, "version", 1);
	json_string(&writer, "file", measurement->file);
	json_string(&writer, "sha256", measurement->sha256);
	json_string(&writer, "separator", separator);
	json_number(&writer, "diamond_value", measurement->session.diamond_value);
	write_notes(&measurement->session, &writer);
	json_open_object(&writer, "table", false);
	table_json_members(&measurement->session.table, &writer);
	json_close_object(&writer);
	write_balls(&measurement->session, &writer);
	write_errors(&measurement->session.errors, &writer);
	write_instruments(&measurement->session, &writer);
	write_protocol(protocol, &writer);
	write_shots(measurement, protocol, &writer);
	write_set_aside(measurement, &writer);
	remarks_json(remarks, "remarks", &writer);
	json_close_object(&writer);
}
