/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_TABLE_DRAWS_H
#define RESTPOINT_ADVISE_TABLE_DRAWS_H

#include "advise/constant_draws.h"
#include "base/random.h"
#include "model/constants.h"
#include "model/profile.h"
#include "shot/play.h"

/* All that a profile knows of a table and its balls, as something to draw tables from: each draw is
 * a table that the measurement allows, with probability as the measurement gives it.
 *
 * The constants and the grips of the balls are normal on their fitted scales, with the correlations
 * that the profile holds; a constant that is not determined has what little the measurement left of
 * its prior (the posterior of formats.md 5), or its prior, and is independent of the others; one that
 * is held has no spread. Slope, fall of liveliness and the characters of the
 * rails, where the profile has them, are normal about their values with their standard errors and
 * independent. Everything stays within its hard limits. */

#define TABLE_DRAWS_JOINT (CONSTANT_COUNT + BALL_ROLES)

/* One table. */
struct drawn_table {
	struct constants constants;
	double grip[BALL_ROLES]; /* of the ball of each part */
	struct rail_character rails[RAIL_COUNT];
};

struct table_draws {
	struct drawn_table middle; /* the profile's values */
	double factor[TABLE_DRAWS_JOINT][TABLE_DRAWS_JOINT]; /* lower triangle: constants, then grips;
	                                                        times its transpose the covariance */
	struct constant_terms terms; /* 1 sd of each */
	struct rail_character rails[RAIL_COUNT]; /* 1 sd of each factor */
};

/*   labels  of the balls, by their part; NULL, or NULL in a place: the reference ball as cue ball,
 *           "O" as the others. A ball that the profile does not hold has grip 1. */
struct table_draws table_draws_profile(const struct profile *profile,
                                       const char *const labels[BALL_ROLES]);

/* Its constants alone, with their correlations. */
struct constant_draws table_draws_constants(const struct table_draws *draws);

struct drawn_table table_draws_take(const struct table_draws *draws, struct random_stream *stream);

#endif
