/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/assess.h"

#include <math.h>
#include <string.h>

#include "advise/assess_correlation.h"
#include "advise/conditions.h"
#include "estimate/coverage.h"
#include "estimate/fit_states.h"

static const char *keep(struct arena *arena, const char *text)
{
	return text == NULL ? NULL : arena_copy(arena, text, strlen(text));
}

/* What is assumed of the constants where conditions are told: the fit, but for the cloth frictions
 * of a session without a clock, of which the fit knows no more than the prior (physics.md 7). */
static void covariance_believed(const struct fit_result *fit,
                                double covariance[CONSTANT_COUNT][CONSTANT_COUNT])
{
	memcpy(covariance, fit->covariance, sizeof fit->covariance);
	if (fit->has_clock)
		return;
	for (int i = SLIDING_FRICTION; i <= SPIN_FRICTION; i++) {
		double spread = constant_prior((enum constant_id)i)->spread;

		for (int k = 0; k < CONSTANT_COUNT; k++)
			covariance[i][k] = covariance[k][i] = 0.0;
		covariance[i][i] = spread * spread;
	}
}

/* The constant that alone decides a condition, or CONSTANT_COUNT. */
static enum constant_id sole_constant(enum condition_id id)
{
	switch (id) {
	case ONE_LENGTH_TIME_S:
		return ROLLING_RESISTANCE;
	case STUN_SLIDE_DIAMONDS:
		return SLIDING_FRICTION;
	case FULL_SIDE_LASTS_S:
		return SPIN_FRICTION;
	default:
		return CONSTANT_COUNT;
	}
}

static enum knowledge condition_state(const struct fit_result *fit, enum condition_id id,
                                      double deviation, double prior_deviation)
{
	enum constant_id sole = sole_constant(id);

	if (sole != CONSTANT_COUNT && (fit->constants[sole].state == KNOWLEDGE_NOT_DETERMINED ||
	                               fit->constants[sole].state == KNOWLEDGE_AT_LIMIT))
		return fit->constants[sole].state;
	if (!(1.0 - deviation / prior_deviation >= FIT_LEARNED_ENOUGH))
		return KNOWLEDGE_NOT_DETERMINED;
	return deviation > FIT_WEAK_ABOVE ? KNOWLEDGE_WEAK : KNOWLEDGE_DETERMINED;
}

static void fill_condition(const struct fit_result *fit, enum condition_id id,
                           struct profile *profile)
{
	double covariance[CONSTANT_COUNT][CONSTANT_COUNT];
	double prior_covariance[CONSTANT_COUNT][CONSTANT_COUNT] = {{0.0}};
	double centre[CONSTANT_COUNT], deviation, prior_deviation;
	struct estimate *estimate = &profile->conditions[id];
	struct interval prior;

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *entry = constant_prior((enum constant_id)i);

		centre[i] = constant_to_scale((enum constant_id)i, entry->centre);
		prior_covariance[i][i] = entry->spread * entry->spread;
	}
	covariance_believed(fit, covariance);
	*estimate = (struct estimate){.has_interval = true};
	estimate->best = condition_interval(id, &profile->table, fit->centre, covariance,
	                                    fit->coverage, &deviation);
	prior = condition_interval(id, &profile->table, centre, prior_covariance,
	                           coverage_factor(HUGE_VAL), &prior_deviation);
	estimate->state = condition_state(fit, id, deviation, prior_deviation);
	if (!isfinite(estimate->best.value + deviation)) { /* the shot has no such outcome there */
		estimate->state = KNOWLEDGE_NOT_DETERMINED;
		estimate->best = prior;
		return;
	}
	if (estimate->state != KNOWLEDGE_NOT_DETERMINED)
		return;
	estimate->has_posterior = true;
	estimate->posterior = estimate->best;
	estimate->best = prior;
}

/* The grip of each ball label that was fitted; the others' stay held at 1. */
static void fill_grips(const struct fit_result *fit, struct profile *profile)
{
	for (size_t i = 0; i < profile->ball_count; i++)
		for (size_t k = 0; k < fit->grip_count; k++)
			if (strcmp(profile->balls[i].label, fit->grips[k].label) == 0)
				profile->balls[i].grip = fit->grips[k].grip;
}

/* What was fitted of the table besides the constants. */
static void fill_terms(const struct fit_result *fit, struct profile *profile)
{
	profile->has_slope = fit->has_slope;
	profile->slope = fit->slope;
	profile->has_liveliness_fall = fit->has_liveliness_fall;
	profile->liveliness_fall = fit->liveliness_fall;
	profile->has_nap = fit->has_nap;
	profile->nap = fit->nap;
	profile->has_rails = fit->has_rails;
	profile->rails = fit->rails;
}

/* Adds a ball's label once. False when memory is out. */
static bool add_ball(struct profile *profile, size_t *capacity, const char *label,
                     const char *reference)
{
	struct profile_ball *grown;

	for (size_t i = 0; i < profile->ball_count; i++)
		if (strcmp(profile->balls[i].label, label) == 0)
			return true;
	grown = arena_grow(profile->arena, profile->balls, profile->ball_count, capacity,
	                   sizeof *grown);
	if (grown == NULL)
		return false;
	profile->balls = grown;
	grown[profile->ball_count] = (struct profile_ball){
	    .label = keep(profile->arena, label),
	    .reference = strcmp(label, reference) == 0,
	    .grip = {.best = {.value = 1.0}, .state = KNOWLEDGE_HELD}};
	return grown[profile->ball_count++].label != NULL;
}

static bool fill_balls(const struct fit_input *inputs, size_t input_count, struct profile *profile)
{
	const char *reference = inputs[0].measurement->session.reference_ball;
	size_t capacity = 0;

	if (!add_ball(profile, &capacity, reference, reference))
		return false;
	for (size_t i = 0; i < input_count; i++)
		for (size_t k = 0; k < inputs[i].measurement->row_count; k++) {
			const struct stroke_row *row = &inputs[i].measurement->rows[k];
			const struct shot_design *design =
			    protocol_find_shot(inputs[i].protocol, row->shot);

			for (int role = 0; role < BALL_ROLES; role++)
				if (design != NULL && design->place[role].present && row->valid &&
				    !add_ball(profile, &capacity, row->ball[role], reference))
					return false;
		}
	return true;
}

static bool fill_sources(const struct fit_input *inputs, size_t input_count,
                         struct profile *profile)
{
	profile->sources =
	    arena_allocate(profile->arena, (input_count + 1) * sizeof *profile->sources);
	if (profile->sources == NULL)
		return false;
	profile->source_count = input_count;
	for (size_t i = 0; i < input_count; i++) {
		struct profile_source *source = &profile->sources[i];

		source->file = keep(profile->arena, inputs[i].measurement->file);
		source->protocol = keep(profile->arena, inputs[i].protocol->name);
		memcpy(source->sha256, inputs[i].measurement->sha256, sizeof source->sha256);
		memcpy(source->protocol_sha256, inputs[i].protocol->sha256,
		       sizeof source->protocol_sha256);
		if (source->file == NULL || source->protocol == NULL)
			return false;
	}
	return true;
}

/* How the players strike, where that was asked for; a factor on speeds in place of its logarithm. */
static bool fill_players(const struct fit_input *inputs, const struct fit_result *fit,
                         struct profile *profile)
{
	profile->players =
	    arena_allocate(profile->arena, (fit->player_count + 1) * sizeof *profile->players);
	if (profile->players == NULL)
		return false;
	profile->player_count = fit->player_count;
	for (size_t i = 0; i < fit->player_count; i++) {
		const struct fit_player *from = &fit->players[i];
		struct profile_player *to = &profile->players[i];
		struct interval *factor = &to->offset[PLAYER_SPEED_FACTOR];

		to->name = keep(profile->arena, from->name);
		to->file = keep(profile->arena, inputs[from->input].measurement->file);
		if (to->name == NULL || to->file == NULL)
			return false;
		for (int k = 0; k < PLAYER_SPREADS; k++)
			if (from->spread[k].told)
				to->spread[k] = (struct profile_spread){
				    true, from->spread[k].tries, from->spread[k].value,
				    from->spread[k].low95, from->spread[k].high95};
		memcpy(to->offset, from->offset, sizeof to->offset);
		factor->value = exp(factor->value);
		factor->standard_error *= factor->value;
		factor->low95 = exp(factor->low95);
		factor->high95 = exp(factor->high95);
	}
	return true;
}

static bool fill_set_aside(const struct fit_result *fit, struct profile *profile)
{
	profile->set_aside =
	    arena_allocate(profile->arena, (fit->set_aside_count + 1) * sizeof *profile->set_aside);
	if (profile->set_aside == NULL)
		return false;
	profile->set_aside_count = fit->set_aside_count;
	for (size_t i = 0; i < fit->set_aside_count; i++) {
		const struct set_aside_row *from = &fit->set_aside[i];
		struct set_aside_row *to = &profile->set_aside[i];

		*to = (struct set_aside_row){keep(profile->arena, from->file), from->line,
		                             keep(profile->arena, from->shot),
		                             keep(profile->arena, from->reason)};
		if (to->file == NULL || to->shot == NULL || to->reason == NULL)
			return false;
	}
	return true;
}

/* Notes of the first file that gives them. */
static bool fill_notes(const struct fit_input *inputs, size_t input_count, struct profile *profile)
{
	for (int note = 0; note < SESSION_NOTES; note++)
		for (size_t i = 0; i < input_count && profile->notes[note] == NULL; i++) {
			const char *text = inputs[i].measurement->session.notes[note];

			profile->notes[note] = keep(profile->arena, text);
			if (text != NULL && profile->notes[note] == NULL)
				return false;
		}
	return true;
}

/* Names of the large omissions of a constant, by ", ". NULL when memory is out. */
static const char *name_omissions(const struct fit_result *fit, enum constant_id id,
                                  struct arena *arena)
{
	struct text names = {0};
	const char *kept = NULL;

	for (size_t i = 0; i < fit->omission_count; i++)
		if (fit->omissions[i].large[id])
			text_print(&names, "%s%s", names.length > 0 ? ", " : "",
			           omission_rule(fit->omissions[i].which)->name);
	if (!names.failed)
		kept = keep(arena, text_bytes(&names));
	text_free(&names);
	return kept;
}

static bool fill_model_errors(const struct fit_result *fit, struct profile *profile)
{
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		struct profile_model_error *error = &profile->model_errors[id];
		struct interval wide;

		if (!omissions_widen(fit->omissions, fit->omission_count, (enum constant_id)id,
		                     &fit->constants[id].best, &wide))
			continue;
		*error = (struct profile_model_error){true, wide.standard_error, wide.low95,
		                                      wide.high95, NULL};
		error->because = name_omissions(fit, (enum constant_id)id, profile->arena);
		if (error->because == NULL)
			return false;
	}
	return true;
}

static void fill_fit(const struct fit_result *fit, struct profile *profile)
{
	profile->shots_used = fit->shots_used;
	profile->chi_square = fit->chi_square;
	profile->degrees_of_freedom = fit->degrees_of_freedom;
	profile->scaled = fit->scaled;
	profile->has_lack_of_fit_p = isfinite(fit->lack_of_fit_p);
	profile->lack_of_fit_p = fit->lack_of_fit_p;
	for (int id = 0; id < CONSTANT_COUNT; id++)
		profile->constants[id] = fit->constants[id];
	fill_terms(fit, profile);
	for (int id = 0; id < CONDITION_COUNT; id++)
		fill_condition(fit, (enum condition_id)id, profile);
}

enum status assess_fit(const struct fit_input *inputs, size_t input_count,
                       const struct fit_result *fit, uint64_t seed, const char *made,
                       const char *tool_version, struct profile *profile)
{
	*profile = (struct profile){.arena = arena_create(), .seed = seed};
	if (profile->arena == NULL)
		return STATUS_SYSTEM;
	profile->table = inputs[0].measurement->session.table;
	profile->made = keep(profile->arena, made);
	profile->tool_version = keep(profile->arena, tool_version);
	profile->stop_reason = keep(profile->arena, fit->stop_reason);
	fill_fit(fit, profile);
	if (profile->made != NULL && profile->tool_version != NULL &&
	    profile->stop_reason != NULL && assess_correlation(fit, profile) &&
	    fill_model_errors(fit, profile) && fill_balls(inputs, input_count, profile) &&
	    fill_sources(inputs, input_count, profile) && fill_set_aside(fit, profile) &&
	    fill_players(inputs, fit, profile) && fill_notes(inputs, input_count, profile)) {
		fill_grips(fit, profile);
		return STATUS_OK;
	}
	profile_free(profile);
	return STATUS_SYSTEM;
}
