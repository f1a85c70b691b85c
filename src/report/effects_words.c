/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/effects_words.h"

#include <math.h>

#include "report/format_value.h"

#define INTERVAL_DEVIATIONS 3.92 /* standard deviations in a 95 % interval of a normal */

const char *effects_words_group(enum effect_group group)
{
	static const char *const names[EFFECT_GROUPS] = {"On the cloth", "At a rail",
	                                                 "Between balls"};

	return names[group];
}

const char *effects_words_regime(enum effect_regime regime)
{
	static const char *const names[] = {[EFFECT_AGREES] = "agrees",
	                                    [EFFECT_UNCHANGED] = "unchanged",
	                                    [EFFECT_REVERSED] = "reversed",
	                                    [EFFECT_NO_SAYING] = "no-saying"};

	return names[regime];
}

void effects_words_change(const struct effects_report *report, struct text *out)
{
	char grip[NUMBER_SIZE];

	format_plain(report->grip, grip);
	if (report->after != NULL)
		text_add(out, "from one profile to the other, measured independently");
	else if (report->ball != NULL)
		text_print(out, "ball %s is struck in place of the reference ball", report->ball);
	else
		text_print(out, "grip of %s times %s",
		           report->all_balls ? "all balls" : "the cue ball", grip);
}

static bool at_own_pace(const struct effects_report *report, const struct effect_setup *setup)
{
	return report->speed > 0.0 && setup->pace == EFFECT_PACE_FREE;
}

void effects_words_setup(const struct effects_report *report, const struct effect_setup *setup,
                         struct text *out)
{
	char speed[NUMBER_SIZE];

	text_add(out, setup->words);
	if (!at_own_pace(report, setup) || report->speed == setup->play.speed)
		return;
	format_plain(report->speed, speed);
	text_print(out, " (but played at %s m/s, as asked)", speed);
}

int effects_words_decimals(const struct effect_result *result)
{
	double width = result->change_span.high95 - result->change_span.low95;
	double change = fabs(result->after - result->before);
	int most = change > 0.0 && change < 0.095 ? 3 : 2, wanted;

	if (result->counted == 0 || !(width > 0.0))
		return most;
	wanted = format_decimals(width / INTERVAL_DEVIATIONS);
	return wanted < most ? wanted : most;
}

static void add_share(const char *word, double share, struct text *out)
{
	text_print(out, "%s in %ld of 100 tables", word, lround(100.0 * share));
}

void effects_words_verdict(const struct effect_result *result, struct text *out)
{
	switch (result->verdict) {
	case EFFECT_NONE:
		text_add(out, "no change");
		break;
	case EFFECT_MORE:
		text_add(out, "more, beyond doubt");
		break;
	case EFFECT_LESS:
		text_add(out, "less, beyond doubt");
		break;
	case EFFECT_UNSURE:
		if (result->more + result->less < 0.5)
			add_share("no change", 1.0 - result->more - result->less, out);
		else if (result->more >= result->less)
			add_share("more", result->more, out);
		else
			add_share("less", result->less, out);
		break;
	}
}

static void add_finding(const struct effect_result *result, struct text *out)
{
	const struct effect_setup *setup = result->setup;

	if (result->slippery == 0)
		text_print(out,
		           "It does not speak of this change: %s %s is not beyond doubt lower or "
		           "higher.",
		           setup->rests_on == BALL_FRICTION ? "the"
		           : setup->subject == BALL_CUE     ? "the cue ball's"
		                                            : "the object ball's",
		           constant_prior(setup->rests_on)->title);
	else if (result->reversed)
		text_add(out, "Here the opposite.");
	else if (result->as_said && result->slippery > 0)
		text_add(out, "So here.");
	else if (result->as_said)
		text_add(out, "So here, the other way round, as the ball is less slippery.");
	else if (result->verdict == EFFECT_NONE)
		text_add(out, "Here nothing changes.");
	else
		text_add(out, "Here the sign is not known beyond doubt.");
}

void effects_words_practice(const struct effects_report *report, const struct effect_result *result,
                            struct text *out)
{
	const struct effect_setup *setup = result->setup;

	if (setup->practice != NULL) {
		text_print(out, "Common practice, no source, of a more slippery ball: %s. ",
		           setup->practice);
		add_finding(result, out);
	}
	/* At a pace of one's own the finding tells whether the rule holds. */
	if (setup->regime == EFFECT_REVERSED && !at_own_pace(report, setup))
		text_add(out, " A shot of this kind lies outside the rule.");
	if (setup->reason[0] != '\0')
		text_print(out, "%s%s", out->length > 0 ? " " : "", setup->reason);
}

const char *effects_words_basis(const struct effects_report *report)
{
	return report->after != NULL
	           ? "First the value before and after, at the profiles' values; then the change, "
	             "and "
	             "in brackets its 95 % interval. Both tables are drawn as their profiles "
	             "allow, "
	             "independently; strokes are exactly as stated, on a level bed without "
	             "pockets. "
	             "The interval is one for the effect, not for the next ball."
	           : "First the value before and after, at the profile's values; then the change, "
	             "and "
	             "in brackets its 95 % interval. The table is drawn as the profile allows, the "
	             "same before and after; strokes are exactly as stated, on a level bed without "
	             "pockets. The interval is one for the effect, not for the next ball.";
}

static void remark_priors(const struct profile *profile, const char *file, struct remarks *remarks)
{
	for (int i = 0; i < CONSTANT_COUNT; i++)
		if (profile->constants[i].state == KNOWLEDGE_NOT_DETERMINED)
			remarks_add(remarks, "%s: %s was not determined; what little is known of it is used.", file,
			            constant_prior((enum constant_id)i)->title);
}

void effects_words_remarks(const struct effects_report *report, struct remarks *remarks)
{
	remark_priors(report->before, report->before_file, remarks);
	if (report->after != NULL) {
		remark_priors(report->after, report->after_file, remarks);
		if (report->before->table.length != report->after->table.length ||
		    report->before->table.width != report->after->table.width)
			remarks_add(remarks,
			            "The two tables differ in size, which is part of every "
			            "change here: diamonds are those of each table.");
	}
	remarks_add(remarks,
	            "Throw: players find it large at a soft pace and small at a firm one, as the "
	            "friction between balls falls with the speed of their slip. A profile holds "
	            "one number for it, with which throw is the same at every pace.");
	remarks_add(remarks,
	            "Conditions drift within hours with warmth, damp and chalk: measure again "
	            "before you rely on a number.");
}
