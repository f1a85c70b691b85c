/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/next_words.h"

#include "base/number.h"
#include "report/paragraph.h"

static const struct {
	enum protocol_kit kit;
	const char *name, *words;
} kits[] = {{KIT_WATCH, "watch", "a stopwatch"},
            {KIT_SOUND, "sound", "a phone that records the sounds"},
            {KIT_RAMP, "ramp", "a ramp"},
            {KIT_TAPE, "tape", "a tape measure"}};

#define KITS (sizeof kits / sizeof kits[0])

/* A relative error in percent: 0.153 gives "15 %", 0.083 gives "8.3 %". */
static void add_percent(double share, struct text *out)
{
	char number[NUMBER_SIZE];

	number_print_fixed(100.0 * share, share < 0.0995 ? 1 : 0, number);
	text_print(out, "%s %%", number);
}

static void add_kit(const struct next_shot *shot, struct text *out)
{
	const char *before = "; it needs ";

	for (size_t i = 0; i < KITS; i++) {
		if (!(shot->kit & kits[i].kit))
			continue;
		text_print(out, "%s%s", before, kits[i].words);
		before = " and ";
	}
}

static void add_shot(const struct next_shots *next, size_t place, struct text *out)
{
	const struct next_shot *shot = &next->shots[place];

	text_print(out, "%s: play %s (protocol %s", place == 0 ? "Next" : "Then", shot->shot->key,
	           shot->protocol->name);
	add_kit(shot, out);
	if (shot->strokes == 2)
		text_add(out, ") twice");
	else
		text_print(out, ") %d times", shot->strokes);
	text_print(out, "%s: %s would be known to ", shot->more ? " more" : "",
	           constant_prior(shot->constant)->title);
	add_percent(shot->after, out);
	text_add(out, " instead of ");
	add_percent(shot->before, out);
	text_add(out, ".");
}

static void add_none(const struct next_shots *next, struct text *out)
{
	if (next->all_known)
		text_add(out, "Next: nothing; every constant is determined.");
	else
		text_print(
		    out,
		    "Next: none of the protocols' shots, played %d times, would make %s or another "
		    "constant that is not known much better known.",
		    NEXT_SHOT_STROKES, constant_prior(next->worst)->title);
}

void next_words_print(const struct next_shots *next, struct text *out)
{
	struct text words = {0};

	if (next->count == 0) {
		add_none(next, &words);
		paragraph_add(out, 2, 4, text_bytes(&words));
	}
	for (size_t i = 0; i < next->count; i++) {
		text_free(&words);
		add_shot(next, i, &words);
		paragraph_add(out, 2, 4, text_bytes(&words));
		out->failed = out->failed || words.failed;
	}
	out->failed = out->failed || words.failed;
	text_free(&words);
}

static void write_shot(const struct next_shots *next, size_t place, struct json_writer *writer)
{
	const struct next_shot *shot = &next->shots[place];
	struct text words = {0};

	json_open_object(writer, NULL, false);
	json_string(writer, "protocol", shot->protocol->name);
	json_string(writer, "shot", shot->shot->key);
	json_string(writer, "title", shot->shot->title);
	json_count(writer, "strokes", (unsigned long long)shot->strokes);
	json_boolean(writer, "played_before", shot->more);
	json_open_array(writer, "needs", true);
	for (size_t i = 0; i < KITS; i++)
		if (shot->kit & kits[i].kit)
			json_string(writer, NULL, kits[i].name);
	json_close_array(writer);
	json_string(writer, "constant", constant_prior(shot->constant)->name);
	json_number(writer, "relative_error_now", shot->before);
	json_number(writer, "relative_error_then", shot->after);
	add_shot(next, place, &words);
	json_string(writer, "sentence", text_bytes(&words));
	writer->out->failed = writer->out->failed || words.failed;
	text_free(&words);
	json_close_object(writer);
}

void next_words_json(const struct next_shots *next, struct json_writer *writer)
{
	json_open_object(writer, "next", false);
	json_boolean(writer, "all_determined", next->all_known);
	if (!next->all_known)
		json_string(writer, "worst", constant_prior(next->worst)->name);
	json_open_array(writer, "shots", false);
	for (size_t i = 0; i < next->count; i++)
		write_shot(next, i, writer);
	json_close_array(writer);
	json_close_object(writer);
}
