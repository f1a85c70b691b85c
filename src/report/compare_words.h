/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_COMPARE_WORDS_H
#define RESTPOINT_REPORT_COMPARE_WORDS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "advise/adjustments.h"
#include "advise/profile_difference.h"
#include "base/text.h"
#include "report/remarks.h"

/* What every form of a comparison has in common: what it is made from, its units and its words. */

/* In what lengths are told: aims in diamonds and tips in widths of the tip, or all in one. */
enum compare_unit { COMPARE_USUAL, COMPARE_DIAMONDS, COMPARE_TIPS, COMPARE_BALLS };

#define COMPARE_TIP_WIDTH 0.013 /* of a cue's tip where none is given [m]: common practice */

struct compare_set {
	const struct profile *home, *here;
	const char *home_file, *here_file; /* as given */
	uint64_t seed;
	size_t draws;
	bool same;             /* both profiles are one measurement */
	double end_mass_ratio; /* 0: not given */
	double elevation_deg;
	enum compare_unit unit;
	double tip_width;      /* [m] */
	bool tip_given;
	size_t count;
	const struct adjustment_change *changes;
};

/* A unit of changes. */
struct compare_scale {
	const char *key;  /* "percent", "diamonds", "tips", "balls", "degrees" */
	const char *name; /* "%", "diamonds", "tips", "ball widths", "degrees" */
	double factor;    /* times a number in the unit of struct adjustment_change */
	int decimals;
};

/* That of the changes of an adjustment, and that of the values of its stroke at home and here. */
struct compare_scale compare_words_scale(const struct compare_set *set,
                                         const struct adjustment *adjustment);
struct compare_scale compare_words_value_scale(const struct compare_set *set,
                                               const struct adjustment *adjustment);

/* "softer", "farther" from the head rail, "left", "lower", ...: the direction of a change. */
const char *compare_words_direction(const struct adjustment *adjustment, double change);

/* "8 % softer (-11 to -5)", "perhaps 0.12 lower (...)", "no change worth making (...)", "no change
 * known (...)" where a change worth making is possible, "no stroke does it here". */
void compare_words_change(const struct compare_set *set, const struct adjustment_change *change,
                          struct text *out);

/* A sentence for one who plays: what to do here. */
void compare_words_sentence(const struct compare_set *set, const struct adjustment_change *change,
                            struct text *out);

/* With the home stroke it comes so far beside what is wanted, as a sentence; false, and nothing is
 * said, where that is not more than the eye sees or says nothing. */
bool compare_words_miss(const struct adjustment_change *change, struct text *out);

/* Titles of constants of a mask, with commas. */
void compare_words_constants(unsigned mask, struct text *out);

/* "+8 % (+5 to +11)" of the first over the second; a dash where one of them is not known. */
void compare_words_difference(const struct profile_difference *difference, struct text *out);

/* Of a group: its title, what all of its strokes have in common, what the columns hold. */
struct compare_group {
	const char *title, *setup, *column;
};
struct compare_group compare_words_group(enum adjustment_group group);

/* What an expert would add. */
void compare_words_remarks(const struct compare_set *set, struct remarks *remarks);

#endif
