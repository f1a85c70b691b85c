/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/measurement_text.h"

#include <string.h>

#include "report/format_value.h"
#include "report/measurement_summary.h"
#include "report/paragraph.h"
#include "report/table_text.h"
#include "report/wording.h"

#define FACT_WIDTH 15

static void print_fact(struct text *out, const char *name, struct text *words)
{
	paragraph_fact(out, name, FACT_WIDTH, text_bytes(words));
	out->failed = out->failed || words->failed;
	text_free(words);
}

static void print_separator(const struct measurement *measurement, struct text *out)
{
	struct text words = {0};

	text_add(&words, measurement->separator == '\t'  ? "tab between cells, decimal comma allowed"
	                 : measurement->separator == ';' ? "; between cells, decimal comma allowed"
	                                                 : ", between cells");
	if (measurement->session.diamond_value != 1)
		text_add(&words, "; one diamond is written as 10");
	if (measurement->session.errors.frames_per_second > 0) {
		char rate[NUMBER_SIZE];

		format_plain(measurement->session.errors.frames_per_second, rate);
		text_print(&words, "; times are counted in frames, %s per second", rate);
	}
	print_fact(out, "written with", &words);
}

static void print_ball(const struct session *session, const char *label, struct text *out)
{
	char diameter[NUMBER_SIZE], mass[NUMBER_SIZE];
	double metres, kilograms;
	struct text name = {0}, words = {0};

	session_ball(session, BALL_OBJECT, label, &metres, &kilograms);
	format_plain(metres * 1000, diameter);
	format_plain(kilograms, mass);
	text_print(&name, "ball %s", label);
	text_print(&words, "%s mm, %s kg", diameter, mass);
	print_fact(out, text_bytes(&name), &words);
	text_free(&name);
}

static void print_errors(const struct reading_errors *errors, struct text *out)
{
	char position[NUMBER_SIZE], rail[NUMBER_SIZE], watch[NUMBER_SIZE], rest[NUMBER_SIZE],
	    sound[NUMBER_SIZE];
	struct text words = {0};

	format_plain(errors->position, position);
	format_plain(errors->rail, rail);
	format_plain(errors->watch, watch);
	format_plain(errors->rest_watch, rest);
	format_plain(errors->sound, sound);
	text_print(&words, "rest %s diamonds, rail contact %s diamonds; ", position, rail);
	if (errors->frames_per_second > 0)
		text_add(&words, "a time half a frame");
	else
		text_print(&words,
		           "a press of the watch %s s at a contact and %s s at a stop, a sound %s s",
		           watch, rest, sound);
	text_add(&words, " (1 standard deviation each)");
	print_fact(out, "reading errors", &words);
}

static void print_microphone(const struct session *session, struct text *out)
{
	char along[NUMBER_SIZE], across[NUMBER_SIZE];
	struct text words = {0};

	if (!session->microphone_known)
		return;
	format_plain(session->microphone_long, along);
	format_plain(session->microphone_short, across);
	text_print(&words, "long %s diamonds, short %s diamonds", along, across);
	print_fact(out, "microphone", &words);
}

static void print_cue(const struct session *session, struct text *out)
{
	char number[NUMBER_SIZE];
	struct text words = {0};

	if (session->cue_end_mass_ratio > 0) {
		format_plain(session->cue_end_mass_ratio, number);
		text_print(&words, "ball mass / end mass %s", number);
	}
	if (session->tip_width > 0) {
		format_plain(session->tip_width * 1000, number);
		text_print(&words, "%stip %s mm wide", words.length > 0 ? "; " : "", number);
	}
	if (words.length > 0)
		print_fact(out, "cue", &words);
}

static void print_settings(const struct measurement *measurement, const struct protocol *protocol,
                           struct text *out)
{
	const struct session *session = &measurement->session;
	struct text words = {0};

	print_separator(measurement, out);
	for (int note = 0; note < SESSION_NOTES; note++) {
		if (session->notes[note] == NULL)
			continue;
		text_print(&words, "%s%s", session->notes[note],
		           wording_note_unit(note, session->notes[note]));
		print_fact(out, wording_note_title(note), &words);
	}
	table_text_print(&session->table, FACT_WIDTH, out);
	for (size_t i = 0; i < session->ball_count; i++)
		print_ball(session, session->balls[i].label, out);
	paragraph_fact(out, "reference ball", FACT_WIDTH, session->reference_ball);
	print_errors(&session->errors, out);
	print_microphone(session, out);
	print_cue(session, out);
	text_print(&words, "%s: %s", protocol->name, protocol->title);
	if (protocol->file != NULL)
		text_print(&words, " (%s)", protocol->file);
	print_fact(out, "protocol", &words);
}

static void print_quantity(int number, const struct quantity_summary *summary, struct text *out)
{
	char lowest[NUMBER_SIZE], highest[NUMBER_SIZE];
	int decimals = wording_quantity_unit(number)[0] == 's' ? 3 : 2;

	text_add(out, "    ");
	paragraph_cell(out, quantity_name(number), 20);
	text_print(out, "%3zu  ", summary->count);
	if (summary->count > summary->pockets) {
		number_print_fixed(summary->lowest, decimals, lowest);
		number_print_fixed(summary->highest, decimals, highest);
		if (strcmp(lowest, highest) == 0)
			text_print(out, "%s %s", lowest, wording_quantity_unit(number));
		else
			text_print(out, "%s to %s %s", lowest, highest, wording_quantity_unit(number));
	}
	if (summary->pockets > 0)
		text_print(out, "%s%zu in a pocket", summary->count > summary->pockets ? ", " : "",
		           summary->pockets);
	text_add(out, "\n");
}

static const char *plural(size_t count)
{
	return count == 1 ? "" : "s";
}

static void print_shot(const struct shot_design *shot, const struct shot_summary *summary,
                       struct text *out)
{
	text_print(out, "  %s: %zu stroke%s", shot->key, summary->strokes, plural(summary->strokes));
	if (summary->set_aside > 0)
		text_print(out, ", %zu set aside", summary->set_aside);
	text_print(out, ", %zu reading%s\n", summary->readings, plural(summary->readings));
	for (int q = 0; q < QUANTITY_COUNT; q++) {
		if (summary->quantities[q].count > 0)
			print_quantity(q, &summary->quantities[q], out);
	}
}

static void print_shots(const struct measurement *measurement, const struct protocol *protocol,
                        struct text *out)
{
	struct shot_summary all = measurement_summary_all(measurement);

	text_print(out, "\nShots: %zu stroke%s that count%s, %zu reading%s\n", all.strokes,
	           plural(all.strokes), all.strokes == 1 ? "s" : "", all.readings,
	           plural(all.readings));
	for (size_t i = 0; i < protocol->shot_count; i++) {
		struct shot_summary summary =
		    measurement_summary_shot(measurement, protocol->shots[i].key);

		if (summary.strokes + summary.set_aside > 0)
			print_shot(&protocol->shots[i], &summary, out);
	}
}

static void print_set_aside(const struct measurement *measurement, struct text *out)
{
	bool any = false;

	for (size_t i = 0; i < measurement->row_count; i++) {
		const struct stroke_row *row = &measurement->rows[i];

		if (row->valid)
			continue;
		if (!any)
			text_add(out, "\nRows set aside\n");
		any = true;
		paragraph_print(out, 2, 4, "line %zu, shot %s: %s", row->line, row->shot,
		                row->note != NULL ? row->note : "no reason given");
	}
}

void measurement_text_print(const struct measurement *measurement, const struct protocol *protocol,
                            const struct remarks *remarks, struct text *out)
{
	text_print(out, "%s: understood, no fault found\n\n", measurement->file);
	print_settings(measurement, protocol, out);
	print_shots(measurement, protocol, out);
	print_set_aside(measurement, out);
	if (remarks->count > 0) {
		text_add(out, "\nWorth knowing\n");
		remarks_print(remarks, out);
	}
}
