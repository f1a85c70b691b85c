/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/prediction_words.h"

#include <ctype.h>
#include <math.h>

#include "report/format_value.h"
#include "report/wording.h"

#define INTERVAL_DEVIATIONS 3.92 /* standard deviations in a 95 % interval of a normal */

void prediction_words_share(size_t count, size_t all, struct text *out)
{
	double share = all > 0 ? (double)count / (double)all : 0.0;
	long hundredths = lround(100.0 * share), thousandths = lround(1000.0 * share);

	if (count == 0)
		text_add(out, "in no play");
	else if (count == all)
		text_add(out, "in every play");
	else if (hundredths > 0 && hundredths < 100)
		text_print(out, "in %ld of 100 plays", hundredths);
	else if (hundredths >= 100)
		text_add(out, "in nearly every play");
	else if (thousandths > 0)
		text_print(out, "in %ld of 1000 plays", thousandths);
	else
		text_add(out, "in less than 1 of 1000 plays");
}

int prediction_words_decimals(const struct predicted_reading *reading)
{
	enum quantity_kind kind = quantity_at(reading->quantity).kind;
	int most = kind == QUANTITY_WATCH || kind == QUANTITY_SOUND ? 3 : 2, wanted;
	double width = reading->span.high95 - reading->span.low95;

	if (!(width > 0.0))
		return most;
	wanted = format_decimals(width / INTERVAL_DEVIATIONS);
	return wanted < most ? wanted : most;
}

void prediction_words_span(const struct predicted_reading *reading, struct text *out)
{
	int decimals = prediction_words_decimals(reading);
	char middle[NUMBER_SIZE], low[NUMBER_SIZE], high[NUMBER_SIZE];
	bool as_designed = reading->designed && reading->designed_rail == reading->rail;

	format_rounded(as_designed ? reading->as_designed : reading->span.median, decimals, middle);
	format_rounded(reading->span.low95, decimals, low);
	format_rounded(reading->span.high95, decimals, high);
	text_print(out, "%s %s", middle, wording_quantity_unit(reading->quantity));
	if (reading->seen > 0)
		text_print(out, " (%s to %s)", low, high);
}

/* "; else the left rail in 2 of 100 plays": of the rails that are not rare. */
static void add_other_rails(const struct prediction *prediction,
                            const struct predicted_reading *reading, struct text *out)
{
	bool first = true;

	for (int i = 0; i < RAIL_COUNT; i++) {
		if (i == (int)reading->rail ||
		    (double)reading->rails[i] < PREDICTION_RARE * (double)prediction->played)
			continue;
		text_print(out, "%s the %s rail ", first ? "; else" : ",", rail_name((enum rail)i));
		prediction_words_share(reading->rails[i], prediction->played, out);
		first = false;
	}
}

void prediction_words_rail(const struct prediction *prediction,
                           const struct predicted_reading *reading, struct text *out)
{
	if (reading->rail == RAIL_COUNT) {
		text_print(out, "%s rail as designed, in no play",
		           rail_name(reading->designed_rail));
		return;
	}
	text_print(out, "%s rail at %s ", rail_name(reading->rail),
	           rail_is_long(reading->rail) ? "long" : "short");
	prediction_words_span(reading, out);
	text_add(out, ", ");
	prediction_words_share(reading->rails[reading->rail], prediction->played, out);
	if (!reading->designed)
		text_add(out, ", not as designed");
	add_other_rails(prediction, reading, out);
}

const char *prediction_words_pocket(int pocket)
{
	static const char *const words[PREDICTION_POCKETS] = {
	    "head left corner", "head right corner", "left side",
	    "right side",       "foot left corner",  "foot right corner"};

	return words[pocket];
}

bool prediction_words_falls(const struct prediction *prediction, enum ball_role role, int pocket)
{
	const struct predicted_ball *ball = &prediction->balls[role];

	return ball->designed_pocket == pocket ||
	       (ball->pockets[pocket] > 0 && 1000 * ball->pockets[pocket] >= prediction->played);
}

void prediction_words_fall(const struct prediction *prediction, enum ball_role role, int pocket,
                           struct text *out)
{
	const struct predicted_ball *ball = &prediction->balls[role];

	text_print(out, "into the %s pocket, ", prediction_words_pocket(pocket));
	prediction_words_share(ball->pockets[pocket], prediction->played, out);
	if (ball->designed_pocket == pocket)
		text_add(out, ", as designed");
}

const char *prediction_words_varied(const struct prediction_set *set)
{
	if (set->player)
		return "Varied from play to play: the table, as far as the profile does not know "
		       "it; "
		       "each rail contact, as no two are quite alike; and the stroke, by the "
		       "spreads of "
		       "the protocol and a player's own offsets of tip and aim. Who plays is taken "
		       "to "
		       "find the designed pace.";
	return "Varied from play to play: the table, as far as the profile does not know it, and "
	       "each rail contact, as no two are quite alike. Every stroke is exactly as designed; "
	       "for one that a person plays give --player.";
}

static void add_unmeasured(const struct profile *profile, enum constant_id id,
                           struct remarks *remarks)
{
	const struct estimate *estimate = &profile->constants[id];
	const struct interval *used =
	    estimate->has_posterior ? &estimate->posterior : &estimate->best;
	const char *what = estimate->has_posterior ? "what little is known of it" : "its prior";
	const char *title = constant_prior(id)->title;
	struct formatted_interval shown;

	if (estimate->state != KNOWLEDGE_NOT_DETERMINED)
		return;
	if ((estimate->has_posterior || estimate->has_interval) && format_interval(used, &shown))
		remarks_add(remarks,
		            "%c%s was not determined; %s is used: %s, 95 %% interval %s to %s.",
		            toupper((unsigned char)title[0]), title + 1, what, shown.value,
		            shown.low, shown.high);
	else
		remarks_add(remarks, "%c%s was not determined; %s is used.",
		            toupper((unsigned char)title[0]), title + 1, what);
}

void prediction_words_priors(const struct prediction_set *set, const char *before, struct text *out)
{
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		if (set->profile->constants[i].state != KNOWLEDGE_NOT_DETERMINED)
			continue;
		text_print(out, "%s%s", before, constant_prior((enum constant_id)i)->title);
		before = ", ";
	}
}

void prediction_words_remarks(const struct prediction_set *set, struct remarks *remarks)
{
	for (int i = 0; i < CONSTANT_COUNT; i++)
		add_unmeasured(set->profile, (enum constant_id)i, remarks);
	remarks_profile(remarks, set->profile);
}
