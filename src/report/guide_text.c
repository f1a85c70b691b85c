/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/guide_text.h"

#include "base/number.h"
#include "files/json_text.h"
#include "report/format_value.h"
#include "report/next_words.h"
#include "report/paragraph.h"

#define CELL_COLUMNS 39
#define NAME_COLUMNS 20
#define PLUS_MINUS "\302\261"

bool guide_known_holds(const struct guide_known *known)
{
	return known != NULL &&
	       (known->status == STATUS_OK || known->status == STATUS_UNDETERMINED);
}

/* 0.153 gives "15", 0.083 gives "8.3". */
static void add_percent(double share, struct text *out)
{
	char number[NUMBER_SIZE];

	number_print_fixed(100.0 * share, share < 0.0995 ? 1 : 0, number);
	text_add(out, number);
}

/* Whether there was a fit before. */
static bool has_before(const struct guide_known *known)
{
	return known->before[0] >= 0.0;
}

static void add_cell(const struct guide_known *known, const struct guide_goal *goal, int id,
                     struct text *out)
{
	const struct estimate *estimate = &known->fit.constants[id];
	double error = guide_goal_error(estimate);
	struct formatted_interval shown;
	char number[NUMBER_SIZE];

	paragraph_cell(out, constant_prior((enum constant_id)id)->title, NAME_COLUMNS);
	if (estimate->state == KNOWLEDGE_NOT_DETERMINED) {
		text_add(out, "not known");
	} else {
		format_interval(&estimate->best, &shown);
		text_add(out, shown.value);
	}
	if (error < 0.0)
		return;
	text_add(out, " " PLUS_MINUS " ");
	add_percent(error, out);
	text_add(out, " %");
	if (known->before[id] >= 0.0 && estimate->state != KNOWLEDGE_NOT_DETERMINED) {
		text_add(out, " (");
		add_percent(known->before[id], out);
		text_add(out, ")");
	}
	if (!goal->stated)
		return;
	text_add(out, guide_goal_is_met(goal, &known->fit, (enum constant_id)id) ? ", reached: "
	                                                                         : ", wanted: ");
	format_plain(100.0 * goal->wanted[id], number);
	text_print(out, "%s %%", number);
}

void guide_text_known(const struct guide_known *known, const struct guide_goal *goal,
                      struct text *out)
{
	bool second = false;

	text_print(out, "  Known after %zu stroke%s, " PLUS_MINUS " 1 standard error%s:\n",
	           known->strokes, known->strokes == 1 ? "" : "s",
	           has_before(known) ? " (in brackets: before)" : "");
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		struct text cell = {0};

		if (!guide_goal_wants(goal, (enum constant_id)id))
			continue;
		add_cell(known, goal, id, &cell);
		if (!second)
			text_add(out, "  ");
		if (second || goal->stated || id == CONSTANT_COUNT - 1)
			text_print(out, "%s\n", text_bytes(&cell));
		else
			paragraph_cell(out, text_bytes(&cell), CELL_COLUMNS);
		second = !second && !goal->stated;
		out->failed = out->failed || cell.failed;
		text_free(&cell);
	}
}

void guide_text_news(const struct guide_known *known, const struct guide_goal *goal,
                     struct text *out)
{
	struct text words = {0};

	if (goal->stated) {
		guide_text_known(known, goal, out);
		return;
	}
	text_print(&words, "1 standard error after %zu stroke%s%s", known->strokes,
	           known->strokes == 1 ? "" : "s", has_before(known) ? " (before)" : "");
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double error = guide_goal_error(&known->fit.constants[id]);

		text_print(&words, "%s %s ", id == 0 ? ":" : ",",
		           constant_prior((enum constant_id)id)->title);
		if (error >= 0.0)
			add_percent(error, &words);
		text_add(&words, error >= 0.0 ? " %" : "?");
		if (known->before[id] < 0.0)
			continue;
		text_add(&words, " (");
		add_percent(known->before[id], &words);
		text_add(&words, ")");
	}
	text_add(&words, ".");
	paragraph_add(out, 2, 2, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void add_reached(const struct guide_known *known, const struct guide_goal *goal,
                        struct text *out)
{
	const char *before = "Enough: ";

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		struct formatted_interval shown;

		if (!guide_goal_wants(goal, (enum constant_id)id))
			continue;
		text_print(out, "%s%s ", before, constant_prior((enum constant_id)id)->title);
		if (format_interval(&known->fit.constants[id].best, &shown))
			text_print(out, "%s " PLUS_MINUS " %s", shown.value, shown.error);
		else
			text_add(out, shown.value);
		before = ", ";
	}
	text_add(out, ". Type enough to end here, or go on.");
}

static void add_next(const struct guide_known *known, struct text *out)
{
	const struct next_shots *next = &known->next;
	const struct next_shot *shot = &next->shots[0];

	if (next->count == 0) {
		text_add(out, "No shot of this protocol, played twice, would now tell much more.");
		return;
	}
	text_print(out, "Most tells now: %s; two strokes would bring %s from ", shot->shot->key,
	           constant_prior(shot->constant)->title);
	add_percent(shot->before, out);
	text_add(out, " % to ");
	add_percent(shot->after, out);
	text_add(out, " %.");
}

void guide_text_verdict(const struct guide_known *known, const struct guide_goal *goal,
                        struct text *out)
{
	struct text words = {0};

	if (guide_goal_is_reached(goal, &known->fit))
		add_reached(known, goal, &words);
	else if (known->has_next)
		add_next(known, &words);
	paragraph_add(out, 2, 2, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

void guide_text_end(const struct guide_end *end, const struct guide_goal *goal, struct text *out)
{
	text_add(out, "\n");
	paragraph_print(out, 0, 2, "%s: %zu stroke%s of %s, %zu set aside; %d still to play.",
	                end->file, end->strokes, end->strokes == 1 ? "" : "s", end->protocol,
	                end->set_aside, end->missing);
	if (guide_known_holds(end->known)) {
		guide_text_known(end->known, goal, out);
		guide_text_verdict(end->known, goal, out);
	} else if (end->strokes > 0) {
		paragraph_add(out, 2, 2,
		              "What these strokes tell of the constants was not worked out here: "
		              "restpoint fit does it.");
	}
	if (end->missing > 0)
		paragraph_print(out, 2, 2, "Go on with: restpoint guide %s -o %s", end->protocol,
		                end->file);
	if (end->strokes > 0)
		paragraph_print(out, 2, 2, "The answer in full: restpoint fit %s", end->file);
}

static void write_constant(const struct guide_known *known, const struct guide_goal *goal, int id,
                           struct json_writer *writer)
{
	const struct constant_prior *prior = constant_prior((enum constant_id)id);
	const struct estimate *estimate = &known->fit.constants[id];
	double error = guide_goal_error(estimate);

	json_open_object(writer, NULL, true);
	json_string(writer, "constant", prior->name);
	json_string(writer, "state", knowledge_name(estimate->state));
	json_number(writer, "value", estimate->best.value);
	if (estimate->has_interval) {
		json_number(writer, "standard_error", estimate->best.standard_error);
		json_number(writer, "low95", estimate->best.low95);
		json_number(writer, "high95", estimate->best.high95);
	}
	if (error >= 0.0)
		json_number(writer, "relative_error", error);
	if (goal->stated)
		json_number(writer, "wanted", goal->wanted[id]);
	json_boolean(writer, "enough", guide_goal_is_met(goal, &known->fit, (enum constant_id)id));
	json_close_object(writer);
}

void guide_json_end(const struct guide_end *end, const struct guide_goal *goal, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-guide");
	json_count(&writer, "version", 1);
	json_string(&writer, "file", end->file);
	json_string(&writer, "protocol", end->protocol);
	json_string(&writer, "ended", end->ended);
	json_count(&writer, "strokes", end->strokes);
	json_count(&writer, "set_aside", end->set_aside);
	json_count(&writer, "still_to_play", (unsigned long long)end->missing);
	if (guide_known_holds(end->known)) {
		json_boolean(&writer, "enough", guide_goal_is_reached(goal, &end->known->fit));
		json_open_array(&writer, "constants", false);
		for (int id = 0; id < CONSTANT_COUNT; id++)
			if (guide_goal_wants(goal, (enum constant_id)id))
				write_constant(end->known, goal, id, &writer);
		json_close_array(&writer);
		if (end->known->has_next)
			next_words_json(&end->known->next, &writer);
	}
	json_close_object(&writer);
}
