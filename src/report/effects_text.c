/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/effects_text.h"

#include <ctype.h>

#include "report/format_value.h"
#include "report/paragraph.h"

#define HEAD_WIDTH 13

static void add_number(double value, int decimals, bool sign, struct text *out)
{
	char number[NUMBER_SIZE];

	format_rounded(value, decimals, number);
	if (sign && value > 0.0)
		text_add(out, "+");
	text_add(out, number);
}

static void print_numbers(const struct effects_report *report, const struct effect_result *result,
                          struct text *out)
{
	const char *unit = result->setup->unit;
	int decimals = effects_words_decimals(result);
	struct text words = {0};

	if (result->verdict == EFFECT_NONE && result->counted > 0) {
		add_number(result->before, 2, false, &words);
		text_print(&words, " %s before and after: no change in any table", unit);
		paragraph_add(out, 4, 6, text_bytes(&words));
		text_free(&words);
		return;
	}
	text_add(&words, "before ");
	add_number(result->before, decimals, false, &words);
	text_add(&words, ", after ");
	add_number(result->after, decimals, false, &words);
	text_print(&words, " %s; change ", unit);
	add_number(result->after - result->before, decimals, true, &words);
	if (result->counted > 0) {
		text_add(&words, " (");
		add_number(result->change_span.low95, decimals, true, &words);
		text_add(&words, " to ");
		add_number(result->change_span.high95, decimals, true, &words);
		text_print(&words, ") %s, ", unit);
		effects_words_verdict(result, &words);
	}
	if (result->counted < report->draws)
		text_print(&words, "; it comes about in %zu of %zu tables", result->counted,
		           report->draws);
	paragraph_add(out, 4, 6, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void print_explanation(const struct effects_report *report,
                              const struct effect_result *result, struct text *out)
{
	struct text practice = {0}, words = {0};

	effects_words_setup(report, result->setup, &words);
	paragraph_print(out, 4, 6, "Set-up: %s.", text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
	effects_words_practice(report, result, &practice);
	if (practice.length > 0)
		paragraph_add(out, 4, 6, text_bytes(&practice));
	out->failed = out->failed || practice.failed;
	text_free(&practice);
}

static void print_row(const struct effects_report *report, const struct effect_result *result,
                      struct text *out)
{
	const char *title = result->setup->title;

	text_print(out, "  %c%s\n", toupper((unsigned char)title[0]), title + 1);
	if (result->happens)
		print_numbers(report, result, out);
	else
		paragraph_add(out, 4, 6,
		              "does not come about on this table: a ball does not get so far, or "
		              "meets another rail first");
	if (!report->brief)
		print_explanation(report, result, out);
	else if (result->reversed)
		paragraph_add(out, 4, 6, "the opposite of common practice (no source)");
	if (result->setup->caution != NULL)
		paragraph_add(out, 4, 6, result->setup->caution);
}

static void print_profile(const char *title, const struct profile *profile, const char *file,
                          struct text *out)
{
	const char *name = profile->notes[NOTE_TABLE_NAME];
	const char *session = profile->notes[NOTE_SESSION];
	struct text words = {0};

	text_print(&words, "%s%s%s%s%s", file, name != NULL ? ", " : "", name != NULL ? name : "",
	           session != NULL ? ", " : "", session != NULL ? session : "");
	paragraph_fact(out, title, HEAD_WIDTH, text_bytes(&words));
	text_free(&words);
}

static void print_head(const struct effects_report *report, struct text *out)
{
	struct text words = {0};

	print_profile(report->after != NULL ? "before" : "profile", report->before,
	              report->before_file, out);
	if (report->after != NULL)
		print_profile("after", report->after, report->after_file, out);
	effects_words_change(report, &words);
	paragraph_fact(out, "change", HEAD_WIDTH, text_bytes(&words));
	text_free(&words);
	words = (struct text){0};
	text_print(&words, "%zu of each set-up, seed %llu", report->draws,
	           (unsigned long long)report->seed);
	paragraph_fact(out, "tables drawn", HEAD_WIDTH, text_bytes(&words));
	text_free(&words);
	text_add(out, "\n");
	paragraph_add(out, 2, 2, effects_words_basis(report));
}

static void print_remarks(const struct effects_report *report, struct text *out)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		out->failed = true;
		return;
	}
	effects_words_remarks(report, &remarks);
	text_add(out, "\nRemarks\n");
	remarks_print(&remarks, out);
	out->failed = out->failed || remarks.failed;
	remarks_free(&remarks);
}

void effects_text_print(const struct effects_report *report, struct text *out)
{
	print_head(report, out);
	for (int group = 0; group < EFFECT_GROUPS; group++) {
		text_print(out, "\n%s\n", effects_words_group((enum effect_group)group));
		for (size_t i = 0; i < report->effects->count; i++)
			if ((int)report->effects->results[i].setup->group == group)
				print_row(report, &report->effects->results[i], out);
	}
	print_remarks(report, out);
}
