/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_EFFECTS_WORDS_H
#define RESTPOINT_REPORT_EFFECTS_WORDS_H

#include "advise/effects.h"
#include "model/profile.h"
#include "report/remarks.h"

/* What every form of the effects of a change has in common: what they are made from, and their
 * words. */
struct effects_report {
	const struct profile *before, *after; /* after: NULL for a change of balls on one table */
	const char *before_file, *after_file;
	double grip; /* what the grip of the cue ball is multiplied by; 1 where that is not asked */
	bool all_balls;   /* and that of the other balls */
	const char *ball; /* the ball of the profile that is struck afterwards; NULL */
	double speed;     /* of every stroke [m/s]; 0: as stated */
	bool brief;       /* as text: without set-ups and practice */
	uint64_t seed;
	size_t draws;
	const struct effects *effects;
};

/* "On the cloth", "At a rail", "Between balls". */
const char *effects_words_group(enum effect_group group);

/* "agrees", "unchanged", "reversed", "no-saying". */
const char *effects_words_regime(enum effect_regime regime);

/* What changes, a clause: "grip of the cue ball times 0.7", ... */
void effects_words_change(const struct effects_report *report, struct text *out);

/* How a row is played: the set-up, with the pace asked for. */
void effects_words_setup(const struct effects_report *report, const struct effect_setup *setup,
                         struct text *out);

/* Decimals with which the numbers of a row are shown: as for the standard error of the change, at
 * most 2, or 3 where the change is below a tenth. */
int effects_words_decimals(const struct effect_result *result);

/* "more, beyond doubt", "more in 93 of 100 tables", "no change", ... */
void effects_words_verdict(const struct effect_result *result, struct text *out);

/* What practitioners say and whether it holds here: a sentence or two; nothing where nothing is
 * said. */
void effects_words_practice(const struct effects_report *report, const struct effect_result *result,
                            struct text *out);

/* That conditions drift, and what an expert would say of the profiles. */
void effects_words_remarks(const struct effects_report *report, struct remarks *remarks);

/* What is told of how all this is played: a paragraph. */
const char *effects_words_basis(const struct effects_report *report);

#endif
