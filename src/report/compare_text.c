/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/compare_text.h"

#include "report/format_value.h"
#include "report/paragraph.h"
#include "report/wording.h"

#define HEAD_WIDTH 13
#define TITLE_COLUMNS 23
#define VALUE_COLUMNS 7
#define CHANGE_COLUMN (2 + TITLE_COLUMNS + 2 * VALUE_COLUMNS)
#define FACT_COLUMNS 31
#define NUMBER_COLUMNS 11

static void print_fact(struct text *out, const char *name, struct text *words)
{
	paragraph_fact(out, name, HEAD_WIDTH, text_bytes(words));
	out->failed = out->failed || words->failed;
	text_free(words);
}

static void print_profile(const char *name, const char *file, const struct profile *profile,
                          struct text *out)
{
	static const enum session_note notes[] = {NOTE_TABLE_NAME, NOTE_SESSION};
	struct text words = {0};

	text_add(&words, file);
	for (size_t i = 0; i < sizeof(notes) / sizeof(notes[0]); i++)
		if (profile->notes[notes[i]] != NULL)
			text_print(&words, ", %s", profile->notes[notes[i]]);
	text_print(&words, "; %s, %.3f x %.3f m", profile->table.preset, profile->table.length,
	           profile->table.width);
	print_fact(out, name, &words);
}

static void print_head(const struct compare_set *set, struct text *out)
{
	struct text words = {0};

	print_profile("home", set->home_file, set->home, out);
	print_profile("here", set->here_file, set->here, out);
	text_print(&words, "%zu pairs of tables, seed %llu", set->draws,
	           (unsigned long long)set->seed);
	print_fact(out, "draws", &words);
	words = (struct text){0};
	text_print(&words, "tip %.1f mm wide, elevation %g degrees, ", 1000.0 * set->tip_width,
	           set->elevation_deg);
	if (set->end_mass_ratio > 0.0)
		text_print(&words, "ball mass over end mass %g", set->end_mass_ratio);
	else
		text_add(&words, "no squirt");
	print_fact(out, "cue", &words);
}

static void print_summary(const struct compare_set *set, struct text *out)
{
	bool any = false;

	text_add(out, "\nWhat to change here, beyond doubt\n");
	for (size_t i = 0; i < set->count; i++) {
		const struct adjustment_change *change = &set->changes[i];
		struct text words = {0};

		if (!change->adjustment->headline || !change->worth_making || !change->beyond_doubt)
			continue;
		any = true;
		compare_words_sentence(set, change, &words);
		paragraph_print(out, 2, 4, "- %s", text_bytes(&words));
		out->failed = out->failed || words.failed;
		text_free(&words);
	}
	if (!any)
		paragraph_add(out, 2, 2, set->same ? "Nothing: play as at home."
		                                   : "Nothing is known to need it: play as at home, and "
		                                     "see below what perhaps does.");
}

static void print_number(const struct estimate *estimate, struct text *out)
{
	struct formatted_interval shown;

	format_interval(&estimate->best, &shown);
	paragraph_cell(out, estimate->state == KNOWLEDGE_NOT_DETERMINED ? "-" : shown.value,
	               NUMBER_COLUMNS);
}

static void print_difference(const char *title, const struct profile_difference *difference,
                             struct text *out)
{
	struct text words = {0};

	text_add(out, "  ");
	paragraph_cell(out, title, FACT_COLUMNS);
	print_number(difference->home, out);
	print_number(difference->here, out);
	compare_words_difference(difference, &words);
	text_print(out, "%s\n", text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void print_differences(const struct compare_set *set, struct text *out)
{
	text_add(out, "\n  ");
	paragraph_cell(out, "How the tables differ", FACT_COLUMNS);
	paragraph_cell(out, "home", NUMBER_COLUMNS);
	paragraph_cell(out, "here", NUMBER_COLUMNS);
	text_add(out, "here against home\n");
	text_add(out, "  * beyond doubt (0.99); in brackets the 95 % interval\n");
	for (int id = 0; id < CONDITION_COUNT; id++) {
		const struct condition_wording *wording = wording_condition((enum condition_id)id);
		struct profile_difference difference =
		    profile_difference_condition(set->home, set->here, (enum condition_id)id);
		struct text title = {0};

		text_print(&title, "%s, %s", wording->title,
		           wording->unit[0] == 'd' && wording->unit[1] == 'i' ? "diam." : wording->unit);
		print_difference(text_bytes(&title), &difference, out);
		text_free(&title);
	}
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		struct profile_difference difference =
		    profile_difference_constant(set->home, set->here, (enum constant_id)id);

		print_difference(constant_prior((enum constant_id)id)->title, &difference, out);
	}
}

static void print_value(const struct compare_set *set, const struct adjustment_change *change,
                        const struct predicted_span *span, struct text *out)
{
	struct compare_scale scale = compare_words_value_scale(set, change->adjustment);
	char number[NUMBER_SIZE] = "-";

	if (change->possible)
		number_print_fixed(scale.factor * span->median, scale.decimals, number);
	paragraph_cell(out, number, VALUE_COLUMNS);
}

static void print_note(struct text *out, struct text *words)
{
	paragraph_add(out, 6, 6, text_bytes(words));
	out->failed = out->failed || words->failed;
	text_free(words);
}

/* What stands below a row. */
static void print_below(const struct adjustment_change *change, struct text *out)
{
	struct text words = {0};

	if (change->adjustment->setup[0] != '\0')
		paragraph_add(out, 6, 6, change->adjustment->setup);
	if (change->worth_making && change->adjustment->group != GROUP_STUN_CUT &&
	    change->adjustment->group != GROUP_ROLLING_CUT && compare_words_miss(change, &words))
		print_note(out, &words);
	words = (struct text){0};
	if (change->possible && change->solved < change->draws) {
		text_print(&words, "in %zu of %zu draws no stroke does it on one of the tables",
		           change->draws - change->solved, change->draws);
		print_note(out, &words);
	}
}

static void print_change(const struct compare_set *set, const struct adjustment_change *change,
                         struct text *out)
{
	struct text words = {0};

	text_add(out, "  ");
	paragraph_cell(out, change->adjustment->title, TITLE_COLUMNS);
	print_value(set, change, &change->home, out);
	print_value(set, change, &change->here, out);
	compare_words_change(set, change, &words);
	if (change->rests_on != 0 && !change->settled)
		text_add(&words, " ?");
	if (CHANGE_COLUMN + text_columns(text_bytes(&words)) <= PARAGRAPH_COLUMNS) {
		text_print(out, "%s\n", text_bytes(&words));
	} else {
		text_add(out, "\n");
		paragraph_add(out, CHANGE_COLUMN, CHANGE_COLUMN, text_bytes(&words));
	}
	out->failed = out->failed || words.failed;
	text_free(&words);
	print_below(change, out);
}

static void print_group(const struct compare_set *set, const struct adjustment_change *change,
                        struct text *out)
{
	struct compare_group group = compare_words_group(change->adjustment->group);
	struct compare_scale scale = compare_words_scale(set, change->adjustment);
	char threshold[NUMBER_SIZE];
	struct text heading = {0};

	number_print_fixed(scale.factor * adjustment_threshold(change->adjustment->varied),
	                   scale.decimals, threshold);
	text_print(&heading, "%s", group.title);
	text_add(out, "\n  ");
	paragraph_cell(out, text_bytes(&heading), TITLE_COLUMNS);
	paragraph_cell(out, "home", VALUE_COLUMNS);
	paragraph_cell(out, "here", VALUE_COLUMNS);
	text_print(out, "change, %s\n", scale.name);
	text_free(&heading);
	paragraph_print(out, 4, 4, "%s; worth making from %s %s.", group.setup, threshold, scale.name);
}

static void print_changes(const struct compare_set *set, struct text *out)
{
	text_add(out, "\nAdjustments: the stroke here that gives what the home stroke gives at home\n");
	paragraph_add(out, 2, 2,
	              "Medians; in brackets the 95 % interval of the change. \"perhaps\": its direction "
	              "is not beyond doubt (0.99). \"no change known\": one worth making is possible, "
	              "yet the middle is less. ? rests on a constant that a profile does not tell.");
	for (size_t i = 0; i < set->count; i++) {
		if (i == 0 || set->changes[i].adjustment->group != set->changes[i - 1].adjustment->group)
			print_group(set, &set->changes[i], out);
		print_change(set, &set->changes[i], out);
	}
}

static void print_remarks(const struct compare_set *set, struct text *out)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		out->failed = true;
		return;
	}
	compare_words_remarks(set, &remarks);
	if (remarks.count > 0)
		text_add(out, "\nRemarks\n");
	remarks_print(&remarks, out);
	out->failed = out->failed || remarks.failed;
	remarks_free(&remarks);
}

void compare_text_print(const struct compare_set *set, struct text *out)
{
	print_head(set, out);
	print_summary(set, out);
	print_differences(set, out);
	print_changes(set, out);
	print_remarks(set, out);
}
