/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/guide_words.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "report/paragraph.h"
#include "report/protocol_words.h"
#include "report/wording.h"

#define FACT_WIDTH 7
#define DECIMALS_POSITION 2
#define DECIMALS_TIME 3
#define WITH_OTHERS " with the readings before it"
#define UNDER_A_DIAMOND 0.1 /* away less than this is told with more digits */

static bool is_blank(const char *words)
{
	return words[strspn(words, " \t\n")] == '\0';
}

static bool is_time(int quantity)
{
	enum quantity_kind kind = quantity_at(quantity).kind;

	return kind == QUANTITY_WATCH || kind == QUANTITY_SOUND;
}

void guide_words_heading(const struct guide *guide, const struct guide_question *question,
                         struct text *out)
{
	struct text words = {0};

	text_print(&words, "Shot %zu of %zu, %s, ", guide->shot + 1, guide->protocol->shot_count,
	           question->shot->key);
	if (question->strokes > 0)
		text_print(&words, "stroke %d of %d", question->stroke, question->strokes);
	else
		text_print(&words, "stroke %d, one more than planned", question->stroke);
	if (!is_blank(question->shot->title))
		text_print(&words, ": %s", question->shot->title);
	paragraph_add(out, 0, 2, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

/* A moment in few words. */
static void add_moment(struct moment moment, struct text *out)
{
	const char *ball = protocol_words_ball(moment.ball);

	switch (moment.kind) {
	case MOMENT_STRIKE:
		text_add(out, "the strike");
		break;
	case MOMENT_RAIL:
		text_print(out, "the %s's %s rail", ball, protocol_words_ordinal(moment.number));
		break;
	case MOMENT_CONTACT:
		text_print(out, "the %s ball contact", protocol_words_ordinal(moment.number));
		break;
	case MOMENT_REST:
		text_print(out, "the %s at rest", ball);
		break;
	case MOMENT_STILL:
		text_print(out, "the %s quite still", ball);
		break;
	}
}

/* Intervals that the shot can time though nobody asks for them. */
static void add_optional(const struct shot_design *shot, struct text *out)
{
	struct text words = {0};

	for (int i = 1; i <= shot->watch_count; i++) {
		int quantity = quantity_number((struct quantity){QUANTITY_WATCH, BALL_CUE, i});

		if ((shot->measure & (UINT32_C(1) << quantity)) != 0)
			continue;
		text_print(&words, "%swatch%d SECONDS from ", words.length > 0 ? ", " : "", i);
		add_moment(shot->watch[i - 1].from, &words);
		text_add(&words, " to ");
		add_moment(shot->watch[i - 1].to, &words);
	}
	if (words.length > 0)
		paragraph_fact(out, "or type", FACT_WIDTH + 1, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

/* How far strokes stray is for who designs a shot; the player has only so many lines. */
static void cut_scatter(struct text *aim)
{
	char *scatter = aim->length > 0 ? strstr(aim->bytes, "; most strokes within") : NULL;

	if (scatter == NULL)
		return;
	*scatter = '\0';
	aim->length = (size_t)(scatter - aim->bytes);
}

void guide_words_shot(const struct shot_design *shot, struct text *out)
{
	struct text words = {0};

	if (!is_blank(shot->how))
		paragraph_fact(out, "how", FACT_WIDTH, shot->how);
	protocol_words_aim(&shot->aim, &words);
	cut_scatter(&words);
	paragraph_fact(out, "aim", FACT_WIDTH, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
	protocol_words_launch(&shot->launch, &words);
	paragraph_fact(out, "strike", FACT_WIDTH, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
	add_optional(shot, out);
}

void guide_words_prompt(const struct guide_question *question, enum rail rail, bool frames,
                        struct text *out)
{
	struct quantity quantity = quantity_at(question->quantity);
	const char *ball = protocol_words_ball(quantity.ball);
	const char *unit = frames ? "frames" : "seconds";
	const struct watch_interval *interval;

	if (question->places > 1)
		text_print(out, "(%d/%d) ", question->place, question->places);
	switch (quantity.kind) {
	case QUANTITY_REST_LONG:
		text_print(out, "%s stops at long", ball);
		break;
	case QUANTITY_REST_SHORT:
		text_print(out, "%s stops at short", ball);
		break;
	case QUANTITY_RAIL:
		text_print(out, "%s's %s rail", ball, protocol_words_ordinal(quantity.number));
		if (rail != RAIL_COUNT)
			text_print(out, " (%s)", rail_name(rail));
		break;
	case QUANTITY_WATCH:
		interval = &question->shot->watch[quantity.number - 1];
		text_print(out, "%s from ", unit);
		add_moment(interval->from, out);
		text_add(out, " to ");
		add_moment(interval->to, out);
		break;
	case QUANTITY_SOUND:
		text_print(out, "%s from the strike to the %s sound", unit,
		           protocol_words_ordinal(quantity.number));
		break;
	}
	text_add(out, ": ");
}

static void add_number(struct text *out, double value, int decimals)
{
	char shown[NUMBER_SIZE];

	number_print_fixed(value, decimals, shown);
	text_add(out, shown);
}

void guide_words_reading(int quantity, const struct reading *reading, struct text *out)
{
	struct quantity kind = quantity_at(quantity);

	if (reading->kind == READING_MISSING) {
		text_add(out, "not measured");
	} else if (reading->kind == READING_POCKET) {
		text_add(out, "in a pocket");
	} else if (is_time(quantity)) {
		add_number(out, reading->value, DECIMALS_TIME);
		text_add(out, " s");
	} else if (reading->frozen) {
		text_print(out, "frozen to the %s rail", rail_name(reading->rail));
	} else {
		if (kind.kind == QUANTITY_RAIL && reading->rail_named)
			text_print(out, "%s rail, ", rail_name(reading->rail));
		else if (kind.kind != QUANTITY_RAIL)
			text_add(out, kind.kind == QUANTITY_REST_LONG ? "long " : "short ");
		add_number(out, reading->value, DECIMALS_POSITION);
		text_add(out, " diamonds");
	}
}

/* Advice about cells and settings is for who has a file before him. */
static bool is_for_a_file(const char *advice)
{
	return strstr(advice, "cell") != NULL || strchr(advice, '#') != NULL;
}

void guide_words_refusal(const struct fault *fault, struct text *out)
{
	struct text words = {0};

	text_print(&words, "Not understood: %s.", fault->found != NULL ? fault->found : "nothing");
	if (fault->accepted != NULL)
		text_print(&words, " Accepted: %s.", fault->accepted);
	if (fault->next != NULL && !is_for_a_file(fault->next))
		text_print(&words, " Please %s.", fault->next);
	paragraph_add(out, 2, 2, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

/* "2.1 diamonds", "0.35 s". */
static void add_away(struct text *out, int quantity, double away)
{
	add_number(out, away, is_time(quantity) || away < UNDER_A_DIAMOND ? 2 : 1);
	text_add(out, is_time(quantity) ? " s" : " diamonds");
}

static const char *direction(int quantity, bool above)
{
	if (is_time(quantity))
		return above ? "longer" : "shorter";
	return above ? "further" : "less";
}

static void add_slip(int quantity, const struct reading *reading,
                     const struct reading_judgement *judgement, struct text *out)
{
	switch (judgement->slip) {
	case SLIP_SWAPPED:
		text_add(out, ": long and short swapped?");
		break;
	case SLIP_RAIL:
		text_print(out, ": is the %s rail meant?", rail_name(judgement->meant_rail));
		break;
	case SLIP_VALUE:
		text_add(out, ": is ");
		add_number(out, judgement->meant,
		           is_time(quantity) ? DECIMALS_TIME : DECIMALS_POSITION);
		text_add(out, " meant?");
		break;
	default:
		text_add(out, reading->kind == READING_POCKET ? "." : ": is it read right?");
		break;
	}
}

static void add_beyond(int quantity, const struct reading *reading,
                       const struct reading_judgement *judgement, struct text *out)
{
	int decimals = is_time(quantity) ? DECIMALS_TIME - 1 : DECIMALS_POSITION;

	text_add(out, "That is ");
	add_away(out, quantity, judgement->away);
	text_print(out, " %s than ", direction(quantity, reading->value > judgement->high));
	if (judgement->stray > 0)
		text_print(out, "all but %zu of ", judgement->stray);
	else
		text_add(out, "any of ");
	text_print(out, "%zu simulated strokes of this shot%s (", judgement->plays,
	           judgement->together ? WITH_OTHERS : "");
	add_number(out, judgement->low, decimals);
	text_add(out, " to ");
	add_number(out, judgement->high, decimals);
	text_add(out, is_time(quantity) ? " s)" : ")");
}

void guide_words_doubt(int quantity, const struct reading *reading,
                       const struct reading_judgement *judgement, struct text *out)
{
	const char *together = judgement->together ? WITH_OTHERS : "";
	struct text words = {0};

	switch (judgement->doubt) {
	case DOUBT_NONE:
		return;
	case DOUBT_BEYOND:
		add_beyond(quantity, reading, judgement, &words);
		break;
	case DOUBT_RAIL:
		text_print(&words,
		           "None of %zu simulated strokes of this shot%s meets that rail then; "
		           "most meet the %s rail",
		           judgement->plays, together, rail_name(judgement->rail));
		break;
	case DOUBT_POCKET:
		text_print(&words, "None of %zu simulated strokes of this shot%s ends in a pocket",
		           judgement->plays, together);
		break;
	case DOUBT_FELL:
		text_print(&words, "All %zu simulated strokes of this shot%s end in a pocket",
		           judgement->plays, together);
		break;
	}
	add_slip(quantity, reading, judgement, &words);
	paragraph_add(out, 2, 2, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

void guide_words_notation(int quantity, struct text *out)
{
	switch (quantity_at(quantity).kind) {
	case QUANTITY_REST_LONG:
		paragraph_add(
		    out, 2, 2,
		    "Diamonds from the head nose, 0 to 8, to the ball's centre: 2.5, 2 1/2, "
		    "31.25in, 79.4cm; f head or f foot where it touches that rail; pocket "
		    "where it fell.");
		break;
	case QUANTITY_REST_SHORT:
		paragraph_add(
		    out, 2, 2,
		    "Diamonds from the left nose (as seen from the head), 0 to 4, to the "
		    "ball's centre: 2.5, 2 1/2, 31.25in, 79.4cm; f left or f right where it "
		    "touches that rail; pocket where it fell.");
		break;
	case QUANTITY_RAIL:
		paragraph_add(
		    out, 2, 2,
		    "Where the ball's centre was, along the rail, when it touched: 5.6 on the "
		    "rail named in the question, or right 5.6, foot 1 1/2 with the rail it "
		    "touched.");
		break;
	default:
		paragraph_add(out, 2, 2,
		              "Seconds, e.g. 2.35; frames of the video where the question asks for them.");
		break;
	}
}

void guide_words_help(struct text *out)
{
	text_add(out,
	         "  Type the reading that is asked for, or:\n"
	         "    -             this reading was not taken (also: skip)\n"
	         "    NAME READING  another reading of this stroke by its name, asked for or not:\n"
	         "                  watch1 0.87\n"
	         "    undo          take back the last reading; again for the one before it\n"
	         "    miscue WHY    set this stroke aside and play it again; WHY may be left out\n"
	         "    repeat        drop the readings of this stroke and play it again; between\n"
	         "                  strokes: one more stroke of the last shot\n"
	         "    done          no more readings of this stroke\n"
	         "    note TEXT     write a note beside this stroke; before its first reading:\n"
	         "                  beside the last one\n"
	         "    leave         leave out the rest of this shot\n"
	         "    shot NAME     play that shot next; without a name: lists the shots\n"
	         "    show          draw the table and tell the shot again\n"
	         "    known         how well each constant is known so far\n"
	         "    enough        end here (also Ctrl-D); everything typed is in the file\n"
	         "    help          this list\n");
}
