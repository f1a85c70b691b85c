/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/compare_words.h"

#include <math.h>
#include <string.h>

#include "base/number.h"

#define MISS_SEEN 0.1 /* diamonds, or a degree's tenth: less is not told */

/* Length that 1 of the unit of a change stands for on the table played here [m]. */
static double base_length(const struct compare_set *set, const struct adjustment *adjustment)
{
	const struct table *table = &set->here->table;

	if (adjustment->varied != ADJUST_AIM)
		return 0.5 * table->cue_ball_diameter;
	return rail_is_long(adjustment->aim) ? table_long_to_metres(table, 1.0)
	                                     : table_short_to_metres(table, 1.0);
}

static struct compare_scale length_scale(const struct compare_set *set, double metres,
                                         enum compare_unit unit)
{
	const struct table *table = &set->here->table;

	if (unit == COMPARE_TIPS)
		return (struct compare_scale){"tips", "tips", metres / set->tip_width, 1};
	if (unit == COMPARE_BALLS)
		return (struct compare_scale){"balls", "ball widths",
		                              metres / table->cue_ball_diameter, 2};
	return (struct compare_scale){"diamonds", "diamonds",
	                              table_long_to_diamonds(table, metres), 3};
}

struct compare_scale compare_words_scale(const struct compare_set *set,
                                         const struct adjustment *adjustment)
{
	bool tip = adjustment->varied == ADJUST_HEIGHT || adjustment->varied == ADJUST_SIDE;
	enum compare_unit unit = set->unit;
	struct compare_scale scale;

	if (adjustment->varied == ADJUST_SPEED)
		return (struct compare_scale){"percent", "%", 1.0, 0};
	if (adjustment->varied == ADJUST_CUT)
		return (struct compare_scale){"degrees", "degrees", 1.0, 1};
	if (unit == COMPARE_USUAL)
		unit = tip ? COMPARE_TIPS : COMPARE_DIAMONDS;
	if (!tip && unit == COMPARE_DIAMONDS)
		return (struct compare_scale){"diamonds", "diamonds", 1.0, 2};
	scale = length_scale(set, base_length(set, adjustment), unit);
	if (tip && unit != COMPARE_DIAMONDS) /* a tip is placed finer than a cue is aimed */
		scale.decimals++;
	return scale;
}

struct compare_scale compare_words_value_scale(const struct compare_set *set,
                                               const struct adjustment *adjustment)
{
	if (adjustment->varied == ADJUST_SPEED)
		return (struct compare_scale){"m/s", "m/s", 1.0, 2};
	if (adjustment->varied == ADJUST_AIM)
		return (struct compare_scale){"diamonds", "diamonds", 1.0, 2};
	return compare_words_scale(set, adjustment);
}

const char *compare_words_direction(const struct adjustment *adjustment, double change)
{
	bool more = change > 0.0;

	switch (adjustment->varied) {
	case ADJUST_SPEED:
		return more ? "harder" : "softer";
	case ADJUST_AIM:
		if (rail_is_long(adjustment->aim))
			return more ? "farther" : "nearer";
		return more ? "right" : "left";
	case ADJUST_HEIGHT:
		return more ? "higher" : "lower";
	case ADJUST_SIDE:
		return more ? "more side" : "less side";
	case ADJUST_CUT:
		return more ? "thinner" : "fuller";
	}
	return "";
}

static void add_signed(double value, int decimals, struct text *out)
{
	char number[NUMBER_SIZE];

	number_print_fixed(value, decimals, number);
	text_print(out, "%s%s", value > 0.0 && strpbrk(number, "123456789") != NULL ? "+" : "",
	           number);
}

static void add_interval(const struct predicted_span *span, const struct compare_scale *scale,
                         struct text *out)
{
	text_add(out, " (");
	add_signed(scale->factor * span->low95, scale->decimals, out);
	text_add(out, " to ");
	add_signed(scale->factor * span->high95, scale->decimals, out);
	text_add(out, ")");
}

static void add_impossible(const struct adjustment_change *change, struct text *out)
{
	bool home = 2 * change->home_without > change->draws;
	bool here = 2 * change->here_without > change->draws;

	text_print(out, "no stroke does it%s",
	           home && here ? " at either" : home ? " at home" : here ? " here" : " at both");
}

void compare_words_change(const struct compare_set *set, const struct adjustment_change *change,
                          struct text *out)
{
	struct compare_scale scale = compare_words_scale(set, change->adjustment);
	char number[NUMBER_SIZE];

	if (!change->possible) {
		add_impossible(change, out);
		return;
	}
	number_print_fixed(fabs(scale.factor * change->change.median), scale.decimals, number);
	if (!change->worth_making)
		text_add(out, change->settled ? "no change worth making" : "no change known");
	else
		text_print(out, "%s%s%s %s", change->beyond_doubt ? "" : "perhaps ", number,
		           change->adjustment->varied == ADJUST_SPEED ? " %" : "",
		           compare_words_direction(change->adjustment, change->change.median));
	add_interval(&change->change, &scale, out);
}

/* What is done, before the amount. */
static const char *verb_of(const struct adjustment *adjustment)
{
	switch (adjustment->varied) {
	case ADJUST_SPEED:
		return "hit";
	case ADJUST_AIM:
		return "aim";
	case ADJUST_HEIGHT:
	case ADJUST_SIDE:
		return "strike";
	case ADJUST_CUT:
		return "cut";
	}
	return "";
}

void compare_words_sentence(const struct compare_set *set, const struct adjustment_change *change,
                            struct text *out)
{
	const struct adjustment *adjustment = change->adjustment;
	struct compare_scale scale = compare_words_scale(set, adjustment);
	struct text miss = {0};
	char number[NUMBER_SIZE];

	number_print_fixed(fabs(scale.factor * change->change.median), scale.decimals, number);
	if (adjustment->group != GROUP_TIP) /* "stop" and "draw" say it themselves */
		text_print(out, "%s, ", compare_words_group(adjustment->group).title);
	text_print(out, "%s: %s %s %s %s", adjustment->title, verb_of(adjustment), number, scale.name,
	           compare_words_direction(adjustment, change->change.median));
	add_interval(&change->change, &scale, out);
	if (adjustment->kept != KEEP_CUT && compare_words_miss(change, &miss))
		text_print(out, "; %s", text_bytes(&miss));
	out->failed = out->failed || miss.failed;
	text_free(&miss);
	text_add(out, ".");
}

/* Where too much of the result lies. */
static const char *beyond_words(const struct adjustment *adjustment, double miss)
{
	switch (adjustment->kept) {
	case KEEP_RUN:
		return miss > 0.0 ? "too far" : "short";
	case KEEP_RAIL:
		if (rail_is_long(adjustment->arrives))
			return miss > 0.0 ? "nearer the foot" : "nearer the head";
		return miss > 0.0 ? "to the right" : "to the left";
	case KEEP_CORNER:
		return miss > 0.0 ? "up the right rail" : "along the head rail";
	case KEEP_RETURN:
		return miss > 0.0 ? "too little draw" : "too much draw";
	case KEEP_CUT:
		return miss > 0.0 ? "too thin" : "too full";
	}
	return "";
}

bool compare_words_miss(const struct adjustment_change *change, struct text *out)
{
	struct compare_scale scale = {"", "", 1.0, 1};
	char number[NUMBER_SIZE];

	if (!change->possible || 2 * change->miss_seen < change->solved ||
	    fabs(change->miss.median) < MISS_SEEN)
		return false;
	number_print_fixed(fabs(change->miss.median), 1, number);
	text_print(out, "struck as at home: %s %s %s", number,
	           change->adjustment->kept == KEEP_CUT ? "degrees" : "diamonds",
	           beyond_words(change->adjustment, change->miss.median));
	add_interval(&change->miss, &scale, out);
	return true;
}

void compare_words_constants(unsigned mask, struct text *out)
{
	const char *before = "";

	for (int id = 0; id < CONSTANT_COUNT; id++)
		if ((mask >> id & 1u) != 0) {
			text_print(out, "%s%s", before, constant_prior((enum constant_id)id)->title);
			before = ", ";
		}
}

void compare_words_difference(const struct profile_difference *difference, struct text *out)
{
	double width = difference->high95 - difference->low95;
	int decimals = width < 4.0 ? 1 : 0;

	if (!difference->known) {
		text_add(out, "- (not known on both)");
		return;
	}
	add_signed(difference->percent, decimals, out);
	text_add(out, " % (");
	add_signed(difference->low95, decimals, out);
	text_add(out, " to ");
	add_signed(difference->high95, decimals, out);
	text_add(out, ")");
	if (difference->beyond_doubt)
		text_add(out, " *");
}

struct compare_group compare_words_group(enum adjustment_group group)
{
	static const struct compare_group groups[ADJUSTMENT_GROUPS] = {
		[GROUP_LAG] = {"Lag", "rolling, along the middle from long 2; m/s just after the strike",
		               "m/s"},
		[GROUP_KICK] = {"Kick", "where to aim on the nose of the right rail, diamonds from the "
		                        "head", "long"},
		[GROUP_TIP] = {"Stop and draw", "straight, 3.5 m/s; height of the tip above the centre, "
		                                "below it -; draw with the balls 2 diamonds apart",
		               "height"},
		[GROUP_SIDE] = {"Side", "tip to the right of the centre", "side"},
		[GROUP_SQUIRT] = {"Aim with side", "from long 4 short 2 to the middle of the foot rail, "
		                                   "tip 0.3 of the radius right; where to point the cue "
		                                   "on that rail, diamonds from the left",
		                  "short"},
		[GROUP_STUN_CUT] = {"Cut, stun", "no spin at the contact; angle to cut so that the object "
		                                 "ball leaves at the angle named",
		                    "degrees"},
		[GROUP_ROLLING_CUT] = {"Cut, rolling", "cue ball rolling at the contact; as above",
		                       "degrees"},
	};

	return groups[group];
}

static void remark_unknown(const struct compare_set *set, struct remarks *remarks)
{
	const struct profile *const profiles[] = {set->home, set->here};
	static const char *const where[] = {"home", "here"};

	for (int side = 0; side < 2; side++) {
		struct text words = {0};
		unsigned mask = 0;

		for (int id = 0; id < CONSTANT_COUNT; id++)
			if (profiles[side]->constants[id].state == KNOWLEDGE_NOT_DETERMINED)
				mask |= 1u << id;
		compare_words_constants(mask, &words);
		if (mask != 0)
			remarks_add(remarks, "Not determined %s%s: %s. What little is known of it is "
			                     "drawn, and widens every interval that rests on it.",
			            side == 0 ? "at " : "", where[side], text_bytes(&words));
		remarks->failed = remarks->failed || words.failed;
		text_free(&words);
	}
}

void compare_words_remarks(const struct compare_set *set, struct remarks *remarks)
{
	if (set->same)
		remarks_add(remarks, "Both profiles are one and the same measurement: each draw is one "
		                     "table, and nothing is to be changed.");
	remark_unknown(set, remarks);
	if (set->end_mass_ratio == 0.0)
		remarks_add(remarks, "The cue's end mass is not given, so squirt is left out; give "
		                     "--end-mass-ratio.");
	if (!set->tip_given)
		remarks_add(remarks, "The tip is taken as 13 mm wide; give --tip-width for another.");
	remarks_add(remarks, "The friction between balls is taken not to fall with speed, so throw at "
	                     "one angle is the same at every pace.");
	remarks_add(remarks, "Every stroke is played as if there were no pockets.");
	remarks_table(remarks, &set->home->table);
	remarks_table(remarks, &set->here->table);
	remarks_nap(remarks, &set->here->table);
}
