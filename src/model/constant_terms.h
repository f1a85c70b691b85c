/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_MODEL_CONSTANT_TERMS_H
#define RESTPOINT_MODEL_CONSTANT_TERMS_H

#include <stdbool.h>

#include "model/constants.h"

/* The optional terms of struct constant_terms by number: their names in files, their limits. */
enum constant_term {
	TERM_SLOPE_LONG,
	TERM_SLOPE_SHORT,
	TERM_LIVELINESS_FALL,
	TERM_BALL_FRICTION_FALL,
	TERM_BED_RESTITUTION,
	TERM_NAP_LONG,
	CONSTANT_TERMS
};

struct constant_term_rule {
	const char *name;       /* as in files, e.g. "slope_long" */
	double lowest, highest; /* limits of the value; 0, the default, lies within */
};

/* The entry of one term; never NULL for a valid number. */
const struct constant_term_rule *constant_term_rule(enum constant_term term);

/* The number in its place among the terms: to read, to write. */
double constant_term_value(const struct constant_terms *terms, enum constant_term term);
double *constant_term_place(struct constant_terms *terms, enum constant_term term);

/* The slope from which on a rolling ball never stops, rise per run: 7/5 of rolling_resistance, for
 * gravity drives a rolling ball by 5/7 of what it drives a sliding one (physics.md 1 and 7). */
double constants_slope_limit(const struct constants *constants);

/* False when the bed is as steep as that or steeper; a nap pushes a rolling ball as a fall of 7/5 of
 * it would. */
bool constants_ball_stops(const struct constants *constants);

#endif
