/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/fit_text.h"

#include "base/number.h"
#include "files/json_text.h"
#include "report/fit_words.h"
#include "report/lines_text.h"
#include "report/next_words.h"
#include "report/omissions_text.h"
#include "report/paragraph.h"
#include "report/players_json.h"
#include "report/profile_text.h"
#include "report/remarks.h"
#include "report/wording.h"

/* The heading of an answer that is not one; NULL for STATUS_OK. */
static const char *incomplete(enum status ending)
{
	switch (ending) {
	case STATUS_OK:
		return NULL;
	case STATUS_INTERRUPTED:
		return "INCOMPLETE: the fit was interrupted. Below is the best point so far; it is no "
		       "result.";
	case STATUS_UNDETERMINED:
		return "NO RESULT: these shots determine no constant, not even roughly. Below is the best "
		       "point of the fit, with the shots that would settle each constant.";
	default:
		return "INCOMPLETE: the fit did not converge. Below is the best point so far; it is no "
		       "result.";
	}
}

static void print_together(const struct fit_result *fit, struct text *out)
{
	struct text words = {0};

	if (fit->combination_count > 0)
		text_add(out, "\nKnown only together\n");
	for (size_t i = 0; i < fit->combination_count; i++) {
		fit_words_combination(&fit->combinations[i], fit->has_clock, &words);
		paragraph_add(out, 2, 4, text_bytes(&words));
		out->failed = out->failed || words.failed;
		text_free(&words);
	}
	for (size_t i = 0; i < fit->unknown_count; i++) {
		fit_words_unknown(&fit->unknowns[i], fit->has_clock, &words);
		paragraph_add(out, 2, 4, text_bytes(&words));
		out->failed = out->failed || words.failed;
		text_free(&words);
	}
}

static void print_repaired(const struct fit_result *fit, struct text *out)
{
	if (fit->repaired_count > 0)
		text_add(out, "\nRows used otherwise than written\n");
	for (size_t i = 0; i < fit->repaired_count; i++) {
		const struct set_aside_row *row = &fit->repaired[i];

		paragraph_print(out, 2, 4, "%s line %zu, shot %s: %s", row->file, row->line, row->shot,
		                row->reason);
	}
}

static void print_doubted(const struct fit_result *fit, struct text *out)
{
	if (fit->doubted_count > 0)
		text_add(out, "\nRows that count for little\n");
	for (size_t i = 0; i < fit->doubted_count; i++) {
		const struct fit_doubted *row = &fit->doubted[i];
		char percent[NUMBER_SIZE];

		number_print_fixed(100.0 * row->weight, 0, percent);
		paragraph_print(out, 2, 4,
		                "%s line %zu, shot %s: went wrong rather than right, by what the other "
		                "strokes tell; counts with %s %% of its weight",
		                row->file, row->line, row->shot, percent);
	}
}

void fit_text_print(enum status ending, const struct fit_result *fit,
                    const struct profile *profile, const struct next_shots *next,
                    struct text *out)
{
	if (incomplete(ending) != NULL) {
		paragraph_add(out, 0, 0, incomplete(ending));
		text_add(out, "\n");
	}
	profile_text_print(profile, out);
	lines_text_print(fit, out);
	omissions_text_print(fit, out);
	print_repaired(fit, out);
	print_doubted(fit, out);
	print_together(fit, out);
	if (!fit->has_clock) {
		text_add(out, "\n");
		paragraph_add(out, 2, 2, "Nothing was timed and no release speed is known: positions "
		                         "alone have no clock, so the three frictions of the cloth stay "
		                         "unknown however many shots are played.");
	}
	if (next != NULL) {
		text_add(out, "\n");
		next_words_print(next, out);
	}
}

static const char *combination_kind(const struct fit_combination *combination)
{
	if (combination->power)
		return "power";
	return combination->product ? "product" : "ratio";
}

/* Those that are not 0, by the constants' names. */
static void write_powers(const double numbers[CONSTANT_COUNT], const char *key,
                         struct json_writer *writer)
{
	json_open_object(writer, key, true);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (numbers[id] != 0.0)
			json_number(writer, constant_prior((enum constant_id)id)->name, numbers[id]);
	json_close_object(writer);
}

static void write_unknowns(const struct fit_result *fit, struct json_writer *writer)
{
	struct text words = {0};

	json_open_array(writer, "unknown_together", false);
	for (size_t i = 0; i < fit->unknown_count; i++) {
		json_open_object(writer, NULL, false);
		write_powers(fit->unknowns[i].change, "change", writer);
		fit_words_unknown(&fit->unknowns[i], fit->has_clock, &words);
		json_string(writer, "sentence", text_bytes(&words));
		writer->out->failed = writer->out->failed || words.failed;
		text_free(&words);
		json_close_object(writer);
	}
	json_close_array(writer);
}

static void write_combinations(const struct fit_result *fit, struct json_writer *writer)
{
	struct text words = {0};

	json_open_array(writer, "combinations", false);
	for (size_t i = 0; i < fit->combination_count; i++) {
		const struct fit_combination *combination = &fit->combinations[i];

		json_open_object(writer, NULL, false);
		json_string(writer, "first", constant_prior(combination->first)->name);
		json_string(writer, "second", constant_prior(combination->second)->name);
		json_string(writer, "kind", combination_kind(combination));
		write_powers(combination->exponents, "exponents", writer);
		json_number(writer, "value", combination->interval.value);
		json_number(writer, "standard_error", combination->interval.standard_error);
		json_number(writer, "low95", combination->interval.low95);
		json_number(writer, "high95", combination->interval.high95);
		fit_words_combination(combination, fit->has_clock, &words);
		json_string(writer, "sentence", text_bytes(&words));
		writer->out->failed = writer->out->failed || words.failed;
		text_free(&words);
		json_close_object(writer);
	}
	json_close_array(writer);
}

static void write_row(const char *file, size_t line, const char *shot, struct json_writer *writer)
{
	json_string(writer, "file", file);
	json_count(writer, "line", line);
	json_string(writer, "shot", shot);
}

static void write_rows(const struct fit_result *fit, struct json_writer *writer)
{
	json_open_array(writer, "repaired", false);
	for (size_t i = 0; i < fit->repaired_count; i++) {
		const struct set_aside_row *row = &fit->repaired[i];

		json_open_object(writer, NULL, true);
		write_row(row->file, row->line, row->shot, writer);
		json_string(writer, "reason", row->reason);
		json_close_object(writer);
	}
	json_close_array(writer);
	json_open_array(writer, "doubted", false);
	for (size_t i = 0; i < fit->doubted_count; i++) {
		const struct fit_doubted *row = &fit->doubted[i];

		json_open_object(writer, NULL, true);
		write_row(row->file, row->line, row->shot, writer);
		json_number(writer, "weight", row->weight);
		json_close_object(writer);
	}
	json_close_array(writer);
}

/* For each constant that is not known, the shot that would settle it. */
static void write_settle(const struct profile *profile, struct json_writer *writer)
{
	json_open_object(writer, "to_settle", false);
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		if (profile->constants[id].state == KNOWLEDGE_NOT_DETERMINED)
			json_string(writer, constant_prior(id)->name, wording_settle(id));
	}
	json_close_object(writer);
}

static void write_remarks(const struct profile *profile, struct json_writer *writer)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		writer->out->failed = true;
		return;
	}
	remarks_profile(&remarks, profile);
	remarks_json(&remarks, "remarks", writer);
	writer->out->failed = writer->out->failed || remarks.failed;
	remarks_free(&remarks);
}

/* Adds JSON text that stands at the left margin as the next member of the open top object. */
static void write_member(const char *key, const char *json, struct text *out)
{
	text_print(out, ",\n  \"%s\": ", key);
	for (const char *byte = json; *byte != '\0'; byte++) {
		if (byte[0] == '\n' && byte[1] == '\0')
			break;
		text_add_bytes(out, byte, 1);
		if (byte[0] == '\n')
			text_add(out, "  ");
	}
}

void fit_json_print(enum status ending, const struct fit_result *fit,
                    const struct profile *profile, const struct next_shots *next,
                    const char *profile_json, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-fit");
	json_count(&writer, "version", 1);
	json_boolean(&writer, "complete", ending == STATUS_OK);
	json_string(&writer, "ending", status_name(ending));
	json_string(&writer, "stop_reason", fit->stop_reason);
	json_count(&writer, "iterations", fit->iterations);
	json_count(&writer, "seed", profile->seed);
	json_boolean(&writer, "has_clock", fit->has_clock);
	json_count(&writer, "readings_used", fit->readings_used);
	write_rows(fit, &writer);
	write_combinations(fit, &writer);
	write_unknowns(fit, &writer);
	lines_text_json(fit, &writer);
	players_json_write(fit, &writer);
	omissions_text_json(fit, &writer);
	write_settle(profile, &writer);
	if (next != NULL)
		next_words_json(next, &writer);
	write_remarks(profile, &writer);
	write_member("profile", profile_json, out);
	json_close_object(&writer);
}
