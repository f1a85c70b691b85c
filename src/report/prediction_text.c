/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/prediction_text.h"

#include <ctype.h>

#include "report/paragraph.h"
#include "report/protocol_words.h"
#include "report/wording.h"

#define HEAD_WIDTH 13
#define READING_WIDTH 13

static void print_fact(struct text *out, const char *name, size_t width, struct text *words)
{
	paragraph_fact(out, name, width, text_bytes(words));
	out->failed = out->failed || words->failed;
	text_free(words);
}

/* The reading of that kind; NULL where it was left out. */
static const struct predicted_reading *find_reading(const struct prediction *prediction,
                                                    enum quantity_kind kind, enum ball_role ball,
                                                    int index)
{
	int number = quantity_number((struct quantity){kind, ball, index});

	for (size_t i = 0; i < prediction->reading_count; i++)
		if (prediction->readings[i].quantity == number)
			return &prediction->readings[i];
	return NULL;
}

/* Whether a ball lies where it was in every play. */
static bool stays(const struct prediction *prediction, enum ball_role role)
{
	const struct predicted_reading *along =
	    find_reading(prediction, QUANTITY_REST_LONG, role, 0);
	const struct predicted_reading *across =
	    find_reading(prediction, QUANTITY_REST_SHORT, role, 0);

	return along != NULL && across != NULL && along->seen == prediction->played &&
	       !traced_shot_moved(&prediction->traced, role) &&
	       along->span.low95 == along->span.high95 && across->span.low95 == across->span.high95;
}

static void print_rest(const struct prediction *prediction, enum ball_role role, struct text *out)
{
	const struct predicted_reading *along =
	    find_reading(prediction, QUANTITY_REST_LONG, role, 0);
	const struct predicted_reading *across =
	    find_reading(prediction, QUANTITY_REST_SHORT, role, 0);
	struct text words = {0};

	if (along == NULL || across == NULL)
		return;
	if (stays(prediction, role)) {
		paragraph_fact(out, "  stays", READING_WIDTH, "where it lies, in every play");
		return;
	}
	text_add(&words, "long ");
	prediction_words_span(along, &words);
	text_add(&words, ", short ");
	prediction_words_span(across, &words);
	text_add(&words, ", ");
	prediction_words_share(along->seen, prediction->played, &words);
	if (!along->designed)
		text_add(&words, ", not as designed");
	print_fact(out, "  stops", READING_WIDTH, &words);
}

static void print_losses(const struct prediction *prediction, enum ball_role role, struct text *out)
{
	const struct predicted_ball *ball = &prediction->balls[role];

	for (int i = 0; i < PREDICTION_POCKETS; i++) {
		struct text words = {0};

		if (!prediction_words_falls(prediction, role, i))
			continue;
		prediction_words_fall(prediction, role, i, &words);
		print_fact(out, "  falls", READING_WIDTH, &words);
	}
	if (ball->left > 0) {
		struct text words = {0};

		text_add(&words, "over a rail, ");
		prediction_words_share(ball->left, prediction->played, &words);
		print_fact(out, "  leaves", READING_WIDTH, &words);
	}
}

static void print_ball(const struct prediction *prediction, enum ball_role role, struct text *out)
{
	const char *name = protocol_words_ball(role);

	text_print(out, "  %c%s\n", toupper((unsigned char)name[0]), name + 1);
	for (int number = 1; number <= RAIL_READINGS; number++) {
		const struct predicted_reading *reading =
		    find_reading(prediction, QUANTITY_RAIL, role, number);
		struct text title = {0}, words = {0};

		if (reading == NULL)
			continue;
		text_print(&title, "  %s rail", protocol_words_ordinal(number));
		prediction_words_rail(prediction, reading, &words);
		print_fact(out, text_bytes(&title), READING_WIDTH, &words);
		text_free(&title);
	}
	print_rest(prediction, role, out);
	print_losses(prediction, role, out);
}

static void add_interval_words(const struct shot_design *design, struct quantity quantity,
                               struct text *words)
{
	const struct watch_interval *interval;

	if (quantity.kind != QUANTITY_WATCH)
		return;
	interval = &design->watch[quantity.number - 1];
	text_add(words, "; from ");
	protocol_words_moment(interval->from, words);
	text_add(words, " to ");
	protocol_words_moment(interval->to, words);
}

/* The intervals of the watch and the sounds. */
static void print_times(const struct prediction *prediction, struct text *out)
{
	bool first = true;

	for (size_t i = 0; i < prediction->reading_count; i++) {
		const struct predicted_reading *reading = &prediction->readings[i];
		struct quantity quantity = quantity_at(reading->quantity);
		struct text title = {0}, words = {0};

		if (quantity.kind != QUANTITY_WATCH && quantity.kind != QUANTITY_SOUND)
			continue;
		if (first)
			text_add(out, "  Times\n");
		first = false;
		if (quantity.kind == QUANTITY_WATCH)
			text_print(&title, "  watch %d", quantity.number);
		else
			text_print(&title, "  %s sound", protocol_words_ordinal(quantity.number));
		prediction_words_span(reading, &words);
		text_add(&words, ", ");
		prediction_words_share(reading->seen, prediction->played, &words);
		if (!reading->designed)
			text_add(&words, ", not as designed");
		add_interval_words(prediction->design, quantity, &words);
		print_fact(out, text_bytes(&title), READING_WIDTH, &words);
		text_free(&title);
	}
}

static void print_shot(const struct prediction *prediction, struct text *out)
{
	const struct shot_design *design = prediction->design;
	struct text launch = {0};

	text_add(out, "\n");
	paragraph_print(out, 0, 2, "Shot %s%s%s", design->key, design->title[0] != '\0' ? ": " : "",
	                design->title);
	protocol_words_launch(&design->launch, &launch);
	paragraph_print(out, 2, 2, "As designed: %s.", text_bytes(&launch));
	text_free(&launch);
	for (int i = 0; i < BALL_ROLES; i++)
		if (prediction->traced.setup.present[i])
			print_ball(prediction, (enum ball_role)i, out);
	print_times(prediction, out);
	if (prediction->played < prediction->draws)
		paragraph_print(out, 2, 2,
		                "%zu of %zu plays did not come to their end and do not count.",
		                prediction->draws - prediction->played, prediction->draws);
}

static void print_head(const struct prediction_set *set, struct text *out)
{
	const char *name = set->profile->notes[NOTE_TABLE_NAME];
	const char *session = set->profile->notes[NOTE_SESSION];
	struct text words = {0};

	text_print(&words, "%s%s%s%s%s", set->profile_file, name != NULL ? ", " : "",
	           name != NULL ? name : "", session != NULL ? ", " : "",
	           session != NULL ? session : "");
	print_fact(out, "profile", HEAD_WIDTH, &words);
	words = (struct text){0};
	text_print(&words, "%s, %.3f m x %.3f m nose to nose", set->profile->table.preset,
	           set->profile->table.length, set->profile->table.width);
	print_fact(out, "table", HEAD_WIDTH, &words);
	paragraph_fact(out, "protocol", HEAD_WIDTH, set->protocol->name);
	paragraph_fact(out, "stroke", HEAD_WIDTH,
	               set->player ? "as a person plays it" : "exactly as designed");
	words = (struct text){0};
	text_print(&words, "%zu of each shot, seed %llu", set->draws,
	           (unsigned long long)set->seed);
	print_fact(out, "plays", HEAD_WIDTH, &words);
}

static void print_remarks(const struct prediction_set *set, struct text *out)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		out->failed = true;
		return;
	}
	prediction_words_remarks(set, &remarks);
	if (remarks.count > 0)
		text_add(out, "\nRemarks\n");
	remarks_print(&remarks, out);
	out->failed = out->failed || remarks.failed;
	remarks_free(&remarks);
}

void prediction_text_print(const struct prediction_set *set, struct text *out)
{
	print_head(set, out);
	text_add(out, "\n");
	paragraph_add(
	    out, 2, 2,
	    "First number: the shot as designed, at the profile's values. In brackets: "
	    "the 95 % interval, where the next ball really played stops or touches in 95 of "
	    "100 tries in which it does so at all; errors of reading are not in it.");
	paragraph_add(out, 2, 2, prediction_words_varied(set));
	for (size_t i = 0; i < set->count; i++)
		print_shot(&set->shots[i], out);
	print_remarks(set, out);
}
