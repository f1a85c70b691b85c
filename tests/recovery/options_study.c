/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "options_study.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "estimate/stroke_model.h"

static void add_number(struct outcome *outcome, const char *name, double truth, double none,
                       const struct estimate *estimate)
{
	struct number *number = &outcome->numbers[outcome->count++];
	const struct interval *interval =
	    estimate->has_posterior ? &estimate->posterior : &estimate->best;

	snprintf(number->name, sizeof number->name, "%s", name);
	number->told = estimate->state != KNOWLEDGE_NOT_DETERMINED;
	number->truth = truth - none;
	number->value = interval->value - none;
	number->error = interval->standard_error;
	number->low95 = interval->low95 - none;
	number->high95 = interval->high95 - none;
}

static void set_slope(struct random_stream *stream, struct constants *truth,
                      struct simulated_extras *extras)
{
	(void)stream;
	(void)extras;
	truth->terms.slope_long = 0.0029;
	truth->terms.slope_short = -0.0017;
}

static void take_slope(const struct fit_result *fit, const struct constants *truth,
                       const struct simulated_extras *extras, struct outcome *outcome)
{
	(void)extras;
	add_number(outcome, "slope_long", truth->terms.slope_long, 0.0, &fit->slope.along);
	add_number(outcome, "slope_short", truth->terms.slope_short, 0.0, &fit->slope.across);
	add_number(outcome, "mm_per_m",
	           1e3 * hypot(truth->terms.slope_long, truth->terms.slope_short), 0.0,
	           &fit->slope.steepness);
}

static void set_nap(struct random_stream *stream, struct constants *truth,
                    struct simulated_extras *extras)
{
	(void)stream;
	(void)extras;
	truth->terms.nap_long = -0.0019;
}

static void take_nap(const struct fit_result *fit, const struct constants *truth,
                     const struct simulated_extras *extras, struct outcome *outcome)
{
	(void)extras;
	add_number(outcome, "nap_long", truth->terms.nap_long, 0.0, &fit->nap);
}

static void set_fall(struct random_stream *stream, struct constants *truth,
                      struct simulated_extras *extras)
{
	(void)stream;
	(void)extras;
	truth->terms.liveliness_fall = 0.037;
}

static void take_fall(const struct fit_result *fit, const struct constants *truth,
                      const struct simulated_extras *extras, struct outcome *outcome)
{
	(void)extras;
	add_number(outcome, "liveliness_with_speed", truth->terms.liveliness_fall, 0.0,
	           &fit->liveliness_fall);
}

/* The cue ball B of the second file; the object ball is O in both. */
static void set_grips(struct random_stream *stream, struct constants *truth,
                      struct simulated_extras *extras)
{
	(void)stream;
	(void)truth;
	extras->grip[BALL_CUE] = 0.63;
	extras->grip[BALL_OBJECT] = 1.41;
}

static void take_grips(const struct fit_result *fit, const struct constants *truth,
                       const struct simulated_extras *extras, struct outcome *outcome)
{
	(void)truth;
	for (size_t i = 0; i < fit->grip_count; i++) {
		bool cue = strcmp(fit->grips[i].label, "B") == 0;

		add_number(outcome, cue ? "grip of B" : "grip of O",
		           extras->grip[cue ? BALL_CUE : BALL_OBJECT], 1.0, &fit->grips[i].grip);
	}
}

/* Rails as the prior has them in the middle of what their spread may be. */
static void set_rails(struct random_stream *stream, struct constants *truth,
                      struct simulated_extras *extras)
{
	(void)truth;
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		extras->rails[rail].liveliness = 0.01 * random_normal(stream);
		extras->rails[rail].grip = exp(0.075 * random_normal(stream));
	}
}

/* One that is far beyond that, which many contacts tell. */
static void set_dead_rail(struct random_stream *stream, struct constants *truth,
                          struct simulated_extras *extras)
{
	(void)stream;
	(void)truth;
	extras->rails[RAIL_FOOT].liveliness = -0.08;
}

/* The truth about the mean of the four. */
static void take_rails(const struct fit_result *fit, const struct constants *truth,
                       const struct simulated_extras *extras, struct outcome *outcome)
{
	double lively = 0.0, grip = 0.0;

	(void)truth;
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		lively += extras->rails[rail].liveliness / RAIL_COUNT;
		grip += log(extras->rails[rail].grip) / RAIL_COUNT;
	}
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		const struct profile_rail *known = &fit->rails.rail[rail];
		const struct rail_character *character = &extras->rails[rail];
		char name[24];

		snprintf(name, sizeof name, "%s liveliness", rail_name((enum rail)rail));
		add_number(outcome, name, (1.0 + character->liveliness) / (1.0 + lively), 1.0,
		           &known->liveliness);
		snprintf(name, sizeof name, "%s grip", rail_name((enum rail)rail));
		add_number(outcome, name, character->grip / exp(grip), 1.0, &known->grip);
	}
}

/* A player who repeats better than the protocol has it: the data must say so. */
static void set_nothing(struct random_stream *stream, struct constants *truth,
                      struct simulated_extras *extras)
{
	(void)stream;
	(void)truth;
	(void)extras;
}

static void take_player(const struct fit_result *fit, const struct constants *truth,
                        const struct simulated_extras *extras, struct outcome *outcome)
{
	(void)truth;
	(void)extras;
	for (size_t i = 0; i < fit->player_count; i++) {
		const struct fit_spread *spread = &fit->players[i].spread[OWN_SPEED];
		struct estimate estimate = {
		    .best = {spread->value, 0.0, spread->low95, spread->high95},
		    .state = KNOWLEDGE_DETERMINED};

		if (spread->told)
			add_number(outcome, "speed spread", outcome->effect ? OPTIONS_STEADY : OPTIONS_DESIGNED,
			           0.0, &estimate);
	}
}

/* Those of the protocol full, in every study. */
const char *const option_full_shots[] = {
    "timed-lag", "one-length", "half-ball", "rolling-kick", "cross-right-side",
    "cross-left-side", "touching-pair", "spin-on-the-spot", "short-draw",
    "soft-follow", NULL};
static const char *const rolls[] = {
    "roll-to-foot", "roll-to-head", "roll-to-right", "roll-to-left", NULL};
static const char *const speeds[] = {
    "bank-right", "hard-across", "hard-along", NULL};
static const char *const meetings[] = {
    "stun-along", "bank-foot", NULL};
static const char *const banks[] = {
    "bank-foot", "bank-head", "bank-right", "bank-left", "side-right", "side-left",
    "side-foot", "side-head", NULL};
static const char *const slopes_seen[] = {"slope_long", "slope_short", "mm_per_m", NULL};
static const char *const nap_seen[] = {"nap_long", NULL};
static const char *const fall_seen[] = {"liveliness_with_speed", NULL};
static const char *const grips_seen[] = {"grip of B", "grip of O", NULL};
static const char *const dead_seen[] = {"foot liveliness", NULL};
static const char *const none_seen[] = {NULL};

const struct study option_studies[] = {
    {"slope", {.slope = true}, rolls, slopes_seen, set_slope, take_slope, 1, false},
    {"nap", {.nap = true}, rolls, nap_seen, set_nap, take_nap, 1, false},
    {"liveliness-with-speed", {.liveliness_with_speed = true}, speeds, fall_seen,
     set_fall, take_fall, 3, true},
    {"grips", {.grips = true}, meetings, grips_seen, set_grips, take_grips, 1, false},
    {"per-rail", {.per_rail = true}, banks, none_seen, set_rails, take_rails, 1, true},
    {"dead-rail", {.per_rail = true}, banks, dead_seen, set_dead_rail, take_rails, 4,
     true},
    {"player", {.player = true}, speeds, none_seen, set_nothing, take_player, 1, false},
};
const size_t option_study_count = sizeof option_studies / sizeof option_studies[0];
