/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/constant_terms.h"

#include <math.h>

/* Wide enough for every table that is played on: 0.05 is 50 mm on each metre. */
#define SLOPE_HIGHEST 0.05

/* Above what any rolling resistance within its limits lets stand. */
#define NAP_HIGHEST 0.05

static const struct constant_term_rule rules[CONSTANT_TERMS] = {
	[TERM_SLOPE_LONG] = {"slope_long", -SLOPE_HIGHEST, SLOPE_HIGHEST},
	[TERM_SLOPE_SHORT] = {"slope_short", -SLOPE_HIGHEST, SLOPE_HIGHEST},
	[TERM_LIVELINESS_FALL] = {"liveliness_with_speed", 0.0, 0.2},
	[TERM_BALL_FRICTION_FALL] = {"ball_friction_with_speed", 0.0, 2.0},
	[TERM_BED_RESTITUTION] = {"bed_restitution", 0.0, 1.0},
	[TERM_NAP_LONG] = {"nap_long", -NAP_HIGHEST, NAP_HIGHEST},
};

const struct constant_term_rule *constant_term_rule(enum constant_term term)
{
	return &rules[term];
}

double *constant_term_place(struct constant_terms *terms, enum constant_term term)
{
	switch (term) {
	case TERM_SLOPE_LONG:
		return &terms->slope_long;
	case TERM_SLOPE_SHORT:
		return &terms->slope_short;
	case TERM_LIVELINESS_FALL:
		return &terms->liveliness_fall;
	case TERM_BALL_FRICTION_FALL:
		return &terms->ball_friction_fall;
	case TERM_NAP_LONG:
		return &terms->nap_long;
	default:
		return &terms->bed_restitution;
	}
}

double constant_term_value(const struct constant_terms *terms, enum constant_term term)
{
	struct constant_terms copy = *terms;

	return *constant_term_place(&copy, term);
}

double constants_slope_limit(const struct constants *constants)
{
	return 1.4 * constants->value[ROLLING_RESISTANCE];
}

bool constants_ball_stops(const struct constants *constants)
{
	const struct constant_terms *terms = &constants->terms;

	return hypot(terms->slope_long - 1.4 * terms->nap_long, terms->slope_short) <
	       constants_slope_limit(constants);
}
