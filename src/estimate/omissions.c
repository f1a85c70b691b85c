/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/omissions.h"

#include <math.h>

#include "estimate/coverage.h"

/* Sizes as in the study tests/recovery/misfit. */
#define RAIL_SETTLE "shoot square at each rail, 2.5 m/s, three times, and fit with --per-rail"
#define SLOPE_SETTLE "roll slow balls both ways, along and across, and fit with --slope"

static const struct omission_rule rules[OMISSION_COUNT] = {
    [OMISSION_LIVELINESS_FALL] =
	{.name = "liveliness_with_speed",
         .brief = "a fall of liveliness with speed",
         .words = "cushions lose liveliness with speed (0.03 per m/s)",
         .size = 0.03,
         .source = "assumed",
         .settle = "shoot square across the table at 1.3 and at 4.5 m/s, three times each, "
                   "and fit with --liveliness-with-speed"},
    [OMISSION_SLOPE_LONG] = {.name = "slope_long",
                             .brief = "a slope along",
                             .words = "the bed slopes along (2 mm per m)",
                             .size = 0.002,
                             .source = "assumed: a little more than players start to notice",
                             .settle = SLOPE_SETTLE},
    [OMISSION_SLOPE_SHORT] = {.name = "slope_short",
                              .brief = "a slope across",
                              .words = "the bed slopes across (2 mm per m)",
                              .size = 0.002,
                              .source = "assumed: a little more than players start to notice",
                              .settle = SLOPE_SETTLE},
    [OMISSION_RAIL_HEAD] = {.name = "head_rail",
                            .brief = "a dead head rail",
                            .words = "the head rail is dead (8 % less lively)",
                            .size = -0.08,
                            .source = "assumed",
                            .settle = RAIL_SETTLE},
    [OMISSION_RAIL_FOOT] = {.name = "foot_rail",
                            .brief = "a dead foot rail",
                            .words = "the foot rail is dead (8 % less lively)",
                            .size = -0.08,
                            .source = "assumed",
                            .settle = RAIL_SETTLE},
    [OMISSION_RAIL_LEFT] = {.name = "left_rail",
                            .brief = "a dead left rail",
                            .words = "the left rail is dead (8 % less lively)",
                            .size = -0.08,
                            .source = "assumed",
                            .settle = RAIL_SETTLE},
    [OMISSION_RAIL_RIGHT] = {.name = "right_rail",
                             .brief = "a dead right rail",
                             .words = "the right rail is dead (8 % less lively)",
                             .size = -0.08,
                             .source = "assumed",
                             .settle = RAIL_SETTLE},
    [OMISSION_BALL_FRICTION_FALL] =
	{.name = "ball_friction_with_speed",
         .brief = "a fall of ball friction with speed",
         .words = "friction of balls falls with slip speed (by half for each m/s)",
         .size = 0.7,
         .source = "published fit 0.01 + 0.108 exp(-1.088 v), from memory",
         .settle = "strike the touching pair at 1.0 and at 4.5 m/s, four times each, and "
                   "compare"},
    [OMISSION_HOP] = {.name = "bed_restitution",
                      .brief = "hops",
                      .words = "lifted balls hop (and bounce with 0.5)",
                      .size = 0.5,
                      .source = "assumed",
                      .settle = NULL},
    [OMISSION_DRIFT] = {.name = "drift",
                        .brief = "a drift of the cloth",
                        .words = "the cloth changes while you play (its frictions by 10 %)",
                        .size = 0.1,
                        .source = "assumed",
                        .settle = "play the first shots once more at the end, which evens it out"},
};

const struct omission_rule *omission_rule(enum omission number)
{
	return &rules[number];
}

/* An end of an interval, that many of the scale's units away from the middle, with a further
 * error. */
static double widened_end(enum constant_id id, double middle, double end, double error)
{
	double away = end - middle;
	double wider = copysign(hypot(away, coverage_factor(HUGE_VAL) * error), away);

	return constant_from_scale(id, middle + wider);
}

bool omissions_widen(const struct fit_omission *omissions, size_t count, enum constant_id id,
                     const struct interval *interval, struct interval *out)
{
	const struct constant_prior *prior = constant_prior(id);
	double middle = constant_to_scale(id, interval->value), squares = 0.0, error, low, high;

	*out = *interval;
	for (size_t i = 0; i < count; i++)
		if (omissions[i].large[id])
			squares += omissions[i].shift[id] * omissions[i].shift[id];
	if (!(squares > 0.0))
		return false;
	error = sqrt(squares);
	low = widened_end(id, middle, constant_to_scale(id, interval->low95), error);
	out->low95 = fmax(prior->lowest, low);
	high = interval->high95;
	if (high < 1.0 || prior->scale == SCALE_LOG)
		high = widened_end(id, middle, constant_to_scale(id, high), error);
	out->high95 = fmin(prior->highest, high);
	out->standard_error =
	    hypot(interval->standard_error, constant_scale_slope(id, interval->value) * error);
	return true;
}
