/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PREDICTION_WORDS_H
#define RESTPOINT_REPORT_PREDICTION_WORDS_H

#include <stdint.h>

#include "advise/prediction.h"
#include "base/text.h"
#include "model/profile.h"
#include "report/remarks.h"

/* What every form of a prediction has in common: what it is made from, and its words. */

/* Predictions for shots of one protocol on the table of one profile. */
struct prediction_set {
	const struct profile *profile;
	const char *profile_file; /* as given */
	const struct protocol *protocol;
	const struct session *session;
	uint64_t seed;
	size_t draws;
	bool player; /* strokes as a person plays them, else exactly as designed */
	size_t count;
	const struct prediction *shots;
};

/* "in every play", "in nearly every play", "in 97 of 100 plays", "in 4 of 1000 plays", "in no
 * play": never every one where one is missing. */
void prediction_words_share(size_t count, size_t all, struct text *out);

/* Decimals with which the numbers of a reading are shown: for an interval as for its standard error
 * (report/format_value.h), and at most 2 for diamonds and 3 for seconds. */
int prediction_words_decimals(const struct predicted_reading *reading);

/* "2.31 diamonds (2.20 to 2.43)": as designed, and the interval; where it does not happen as
 * designed the median. */
void prediction_words_span(const struct predicted_reading *reading, struct text *out);

/* A rail contact in words: the rail, the place, how often; other rails that are not rare. */
void prediction_words_rail(const struct prediction *prediction,
                           const struct predicted_reading *reading, struct text *out);

/* "head left corner", "left side", ...: a pocket of struct predicted_ball. */
const char *prediction_words_pocket(int pocket);

/* Whether it is told that a ball falls there: as designed, or in 1 of 1000 plays and more. */
bool prediction_words_falls(const struct prediction *prediction, enum ball_role role, int pocket);

/* "into the left side pocket, in 23 of 100 plays, as designed" */
void prediction_words_fall(const struct prediction *prediction, enum ball_role role, int pocket,
                           struct text *out);

/* The titles of the constants that come from their priors, with commas; `before` in front of the
 * first, nothing where all were measured. */
void prediction_words_priors(const struct prediction_set *set, const char *before,
                             struct text *out);

/* What varies from play to play: a sentence or two. */
const char *prediction_words_varied(const struct prediction_set *set);

/* What an expert would say of the profile: each constant that was not measured, then as in
 * remarks_profile. */
void prediction_words_remarks(const struct prediction_set *set, struct remarks *remarks);

#endif
