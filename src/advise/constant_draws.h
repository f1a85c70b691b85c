/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_CONSTANT_DRAWS_H
#define RESTPOINT_ADVISE_CONSTANT_DRAWS_H

#include "base/random.h"
#include "model/constants.h"
#include "model/profile.h"

/* What is known of the constants of a table as something to draw from: normal on the fitted scales
 * (model/constants.h), each draw within the hard limits. */
struct constant_draws {
	struct constants middle; /* with the optional terms, which are the same in every draw */
	double factor[CONSTANT_COUNT][CONSTANT_COUNT]; /* lower triangle; times its transpose the
	                                                  covariance on the fitted scales */
};

/* A table that nobody has measured: the priors. */
struct constant_draws constant_draws_prior(void);

/* Constants taken as they are: every draw is the same. */
struct constant_draws constant_draws_exact(const struct constants *constants);

/* The profile's values, but of a constant that is not determined the middle of its narrowed interval
 * where there is one. */
struct constants constant_draws_middle(const struct profile *profile);

/* 1 sd on the fitted scale of what a profile tells of a constant: of the narrowed interval where
 * there is one, else of its interval; 0 for one that is held. */
double constant_draws_spread(enum constant_id id, const struct estimate *estimate);

struct constants constant_draws_take(const struct constant_draws *draws,
                                     struct random_stream *stream);

#endif
