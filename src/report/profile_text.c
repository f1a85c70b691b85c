/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/profile_text.h"

#include <math.h>
#include <string.h>

#include "report/fit_words.h"
#include "report/format_value.h"
#include "report/nap_text.h"
#include "report/omissions_text.h"
#include "report/paragraph.h"
#include "report/players_text.h"
#include "report/rails_text.h"
#include "report/remarks.h"
#include "report/table_text.h"
#include "report/wording.h"

#define FACT_WIDTH 15
#define TITLE_WIDTH 31
#define VALUE_WIDTH 32
#define CORRELATION_SHOWN 0.7 /* pairs at least this strong are named */

static void print_value(const struct estimate *estimate, const char *unit, struct text *out)
{
	struct formatted_interval shown;
	const char *blank = unit[0] != '\0' ? " " : "";

	if (estimate->has_interval && format_interval(&estimate->best, &shown)) {
		text_print(out, "%s \302\261 %s%s%s", shown.value, shown.error, blank, unit);
	} else {
		format_plain(estimate->best.value, shown.value);
		text_print(out, "%s%s%s", shown.value, blank, unit);
	}
}

/* The line below: the interval, the meaning. */
static void print_below(const struct estimate *estimate, const char *unit, const char *meaning,
                        struct text *out)
{
	struct formatted_interval shown;
	struct text words = {0};
	const char *blank = unit[0] != '\0' ? " " : "";

	if (estimate->has_interval && format_interval(&estimate->best, &shown))
		text_print(&words, "95 %% interval %s to %s%s%s", shown.low, shown.high, blank, unit);
	if (meaning != NULL)
		text_print(&words, "%s%s", words.length > 0 ? "; " : "", meaning);
	paragraph_add(out, 6, 6, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

void profile_text_estimate(const char *title, const struct estimate *estimate, const char *unit,
                           const char *meaning, const char *settle, struct text *out)
{
	bool known = estimate->state != KNOWLEDGE_NOT_DETERMINED;
	struct text value = {0};

	if (known)
		print_value(estimate, unit, &value);
	else
		text_add(&value, "-");
	text_add(out, "  ");
	paragraph_cell(out, title, TITLE_WIDTH);
	paragraph_cell(out, text_bytes(&value), VALUE_WIDTH);
	text_print(out, "%s\n", wording_state(estimate->state));
	if (known)
		print_below(estimate, unit, meaning, out);
	else if (settle != NULL)
		paragraph_print(out, 6, 6, "to settle it: %s", settle);
	out->failed = out->failed || value.failed;
	text_free(&value);
}

static void print_head(const struct profile *profile, struct text *out)
{
	struct text words = {0};

	for (int note = 0; note < SESSION_NOTES; note++) {
		if (profile->notes[note] == NULL)
			continue;
		text_print(&words, "%s%s", profile->notes[note],
		           wording_note_unit(note, profile->notes[note]));
		paragraph_fact(out, wording_note_title(note), FACT_WIDTH, text_bytes(&words));
		text_free(&words);
	}
	table_text_print(&profile->table, FACT_WIDTH, out);
	text_print(&words, "%s by restpoint %s, seed %llu", profile->made, profile->tool_version,
	           (unsigned long long)profile->seed);
	paragraph_fact(out, "made", FACT_WIDTH, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void print_conditions(const struct profile *profile, struct text *out)
{
	text_add(out, "\nIn players' terms (value \302\261 standard error, for balls of grip 1)\n");
	for (int id = 0; id < CONDITION_COUNT; id++) {
		const struct condition_wording *wording = wording_condition(id);
		const struct estimate *basis = &profile->constants[wording->rests_on];
		struct text settle = {0};

		if (basis->state == KNOWLEDGE_NOT_DETERMINED)
			text_print(&settle, "see %s below", constant_prior(wording->rests_on)->title);
		else
			text_add(&settle, wording_settle(wording->rests_on));
		profile_text_estimate(wording->title, &profile->conditions[id], wording->unit,
		                      wording->meaning, text_bytes(&settle), out);
		out->failed = out->failed || settle.failed;
		text_free(&settle);
	}
}

static void print_constants(const struct profile *profile, struct text *out)
{
	text_add(out, "\nPhysical constants (pure numbers, value \302\261 standard error)\n");
	for (int id = 0; id < CONSTANT_COUNT; id++)
		profile_text_estimate(constant_prior(id)->title, &profile->constants[id], "",
		                      wording_constant_meaning(id), wording_settle(id), out);
}

static void print_direction(const struct profile_slope *slope, struct text *out)
{
	static const struct estimate unknown = {.state = KNOWLEDGE_NOT_DETERMINED};
	const char *title = "uphill is at";
	struct text meaning = {0};

	if (!slope->has_direction) {
		profile_text_estimate(title, &unknown, "", NULL,
		                      "the slope must first be told from none at all", out);
		return;
	}
	text_print(&meaning, "%s (0 is to the foot, 90 to the right)",
	           wording_uphill(slope->direction.best.value));
	profile_text_estimate(title, &slope->direction, "degrees", text_bytes(&meaning), NULL, out);
	out->failed = out->failed || meaning.failed;
	text_free(&meaning);
}

/* What the table does besides: only where the profile holds it. */
static void print_terms(const struct profile *profile, struct text *out)
{
	static const char *const roll = "roll slow balls both ways, along and across, and read where "
	                                "they stop";
	const struct profile_slope *slope = &profile->slope;

	if (profile->has_slope) {
		text_add(out, "\nSlope of the bed\n");
		profile_text_estimate("steepness", &slope->steepness, "mm per m", NULL, roll, out);
		print_direction(slope, out);
		profile_text_estimate("rise to the foot", &slope->along, "",
		                      "rise per run; negative: the head is higher", roll, out);
		profile_text_estimate("rise to the right", &slope->across, "",
		                      "rise per run; negative: the left is higher", roll, out);
	}
	if (profile->has_nap)
		nap_text_print(profile, out);
	if (!profile->has_liveliness_fall)
		return;
	text_add(out, "\nCushions at speed\n");
	profile_text_estimate("liveliness fall", &profile->liveliness_fall, "per m/s",
	                      "cushion restitution is less by this for each m/s of approach above 1 "
	                      "m/s",
	                      "strike a rail squarely at lag pace and hard, and time both", out);
}

static void print_legend(const struct profile *profile, struct text *out)
{
	bool met[KNOWLEDGE_COUNT] = {false};
	struct text words = {0};

	if (profile->has_slope) {
		met[profile->slope.steepness.state] = true;
		met[profile->slope.along.state] = met[profile->slope.across.state] = true;
		met[profile->slope.has_direction ? profile->slope.direction.state
		                                 : KNOWLEDGE_NOT_DETERMINED] = true;
	}
	if (profile->has_nap)
		met[profile->nap.state] = true;
	if (profile->has_liveliness_fall)
		met[profile->liveliness_fall.state] = true;
	for (int rail = 0; profile->has_rails && rail < RAIL_COUNT; rail++) {
		met[profile->rails.rail[rail].liveliness.state] = true;
		met[profile->rails.rail[rail].grip.state] = true;
	}
	for (int id = 0; id < CONSTANT_COUNT; id++)
		met[profile->constants[id].state] = true;
	for (int id = 0; id < CONDITION_COUNT; id++)
		met[profile->conditions[id].state] = true;
	for (int state = KNOWLEDGE_COUNT - 1; state >= 0; state--) {
		if (met[state])
			text_print(&words, "%s%s: %s", words.length > 0 ? "; " : "", wording_state(state),
			           wording_state_meaning(state));
	}
	text_add(&words, ".");
	text_add(out, "\n");
	paragraph_add(out, 2, 2, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void print_correlations(const struct profile *profile, struct text *out)
{
	size_t count = profile->correlation_count;

	for (size_t i = 0; i < count; i++) {
		for (size_t j = i + 1; j < count; j++) {
			double r = profile->correlation[i * count + j];
			char shown[NUMBER_SIZE];

			if (!(fabs(r) >= CORRELATION_SHOWN))
				continue;
			number_print_fixed(r, 2, shown);
			paragraph_print(out, 2, 4, "%s and %s go together: correlation %s.",
			                profile->correlation_order[i], profile->correlation_order[j], shown);
		}
	}
}

static void print_balls(const struct profile *profile, struct text *out)
{
	text_add(out, "\nBalls\n");
	for (size_t i = 0; i < profile->ball_count; i++) {
		const struct profile_ball *ball = &profile->balls[i];
		struct text title = {0};

		text_print(&title, "grip of ball %s%s", ball->label, ball->reference ? " (reference)" : "");
		profile_text_estimate(text_bytes(&title), &ball->grip, "", NULL,
		                      "play the shots of the protocol with this ball and with the "
		                      "reference ball in turn",
		                      out);
		out->failed = out->failed || title.failed;
		text_free(&title);
	}
}

static void print_fit(const struct profile *profile, struct text *out)
{
	struct text words = {0};

	text_add(out, "\nThe fit\n");
	fit_words_summary(profile, &words);
	paragraph_add(out, 2, 2, text_bytes(&words));
	print_correlations(profile, out);
	for (size_t i = 0; i < profile->source_count; i++)
		paragraph_print(out, 2, 4, "from %s, protocol %s", profile->sources[i].file,
		                profile->sources[i].protocol);
	out->failed = out->failed || words.failed;
	text_free(&words);
	if (profile->set_aside_count == 0)
		return;
	text_add(out, "\nRows set aside\n");
	for (size_t i = 0; i < profile->set_aside_count; i++) {
		const struct set_aside_row *row = &profile->set_aside[i];

		paragraph_print(out, 2, 4, "%s line %zu, shot %s: %s", row->file, row->line, row->shot,
		                row->reason);
	}
}

static void print_remarks(const struct profile *profile, struct text *out)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		out->failed = true;
		return;
	}
	remarks_profile(&remarks, profile);
	if (remarks.count > 0) {
		text_add(out, "\nWorth knowing\n");
		remarks_print(&remarks, out);
	}
	out->failed = out->failed || remarks.failed;
	remarks_free(&remarks);
}

void profile_text_print(const struct profile *profile, struct text *out)
{
	print_head(profile, out);
	print_conditions(profile, out);
	print_constants(profile, out);
	print_terms(profile, out);
	if (profile->has_rails)
		rails_text_print(&profile->rails, out);
	print_legend(profile, out);
	omissions_text_profile(profile, out);
	if (profile->ball_count > 0)
		print_balls(profile, out);
	players_text_print(profile, out);
	print_fit(profile, out);
	print_remarks(profile, out);
}
