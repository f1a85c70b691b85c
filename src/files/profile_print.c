/* SPDX-License-Identifier: GPL-3.0-or-later */

/* A profile as JSON text: formats.md 5. */
#include "files/json_text.h"
#include "files/profile_file.h"

/* A string that the profile may lack. */
static void print_text(struct json_writer *writer, const char *key, const char *value)
{
	json_string(writer, key, value != NULL ? value : "");
}

static void print_interval(struct json_writer *writer, const struct interval *interval)
{
	json_number(writer, "standard_error", interval->standard_error);
	json_number(writer, "low95", interval->low95);
	json_number(writer, "high95", interval->high95);
}

/* with_state: false for the grip of a reference ball, which is held by what it is. */
static void print_estimate(struct json_writer *writer, const char *key,
                           const struct estimate *estimate, bool with_state)
{
	json_open_object(writer, key, true);
	json_number(writer, "value", estimate->best.value);
	if (estimate->has_interval)
		print_interval(writer, &estimate->best);
	if (with_state)
		json_string(writer, "state", knowledge_name(estimate->state));
	if (estimate->has_learned)
		json_number(writer, "learned", estimate->learned);
	if (estimate->has_posterior) {
		json_open_object(writer, "posterior", true);
		json_number(writer, "value", estimate->posterior.value);
		print_interval(writer, &estimate->posterior);
		json_close_object(writer);
	}
	json_close_object(writer);
}

static void print_head(struct json_writer *writer, const struct profile *profile)
{
	json_string(writer, "format", "restpoint-profile");
	json_count(writer, "version", 1);
	json_open_object(writer, "tool", true);
	json_string(writer, "name", "restpoint");
	print_text(writer, "version", profile->tool_version);
	json_close_object(writer);
	print_text(writer, "made", profile->made);
	json_count(writer, "seed", profile->seed);
	json_open_object(writer, "session", false);
	for (size_t i = 0; i < SESSION_NOTES; i++)
		if (profile->notes[i] != NULL)
			json_string(writer, session_note_name((enum session_note)i),
			            profile->notes[i]);
	json_close_object(writer);
}

static void print_table(struct json_writer *writer, const struct table *table)
{
	json_open_object(writer, "table", false);
	json_string(writer, "preset", table->preset);
	json_number(writer, "length_m", table->length);
	json_number(writer, "width_m", table->width);
	json_number(writer, "nose_height_m", table->nose_height);
	json_number(writer, "sight_setback_m", table->sight_setback);
	json_boolean(writer, "pockets", table->pockets);
	json_number(writer, "corner_mouth_m", table->corner_mouth);
	json_number(writer, "side_mouth_m", table->side_mouth);
	json_number(writer, "ball_diameter_m", table->ball_diameter);
	json_number(writer, "ball_mass_kg", table->ball_mass);
	json_number(writer, "cue_ball_diameter_m", table->cue_ball_diameter);
	json_number(writer, "cue_ball_mass_kg", table->cue_ball_mass);
	json_close_object(writer);
}

static void print_constants(struct json_writer *writer, const struct profile *profile)
{
	json_open_object(writer, "constants", false);
	for (size_t i = 0; i < CONSTANT_COUNT; i++)
		print_estimate(writer, constant_prior((enum constant_id)i)->name,
		               &profile->constants[i], true);
	json_close_object(writer);
}

static void print_correlation(struct json_writer *writer, const struct profile *profile)
{
	size_t count = profile->correlation_count;
	json_open_object(writer, "correlation", false);
	json_open_array(writer, "order", true);
	for (size_t i = 0; i < count; i++)
		json_string(writer, NULL, profile->correlation_order[i]);
	json_close_array(writer);
	json_open_array(writer, "matrix", false);
	for (size_t i = 0; i < count; i++) {
		json_open_array(writer, NULL, true);
		for (size_t k = 0; k < count; k++)
			json_number(writer, NULL, profile->correlation[i * count + k]);
		json_close_array(writer);
	}
	json_close_array(writer);
	json_close_object(writer);
}

static void print_balls(struct json_writer *writer, const struct profile *profile)
{
	json_open_object(writer, "balls", false);
	for (size_t i = 0; i < profile->ball_count; i++) {
		const struct profile_ball *ball = &profile->balls[i];
		json_open_object(writer, ball->label, true);
		json_boolean(writer, "reference", ball->reference);
		print_estimate(writer, "grip", &ball->grip,
		               !ball->reference || ball->grip.state != KNOWLEDGE_HELD);
		json_close_object(writer);
	}
	json_close_object(writer);
}

static void print_conditions(struct json_writer *writer, const struct profile *profile)
{
	json_open_object(writer, "conditions", false);
	for (size_t i = 0; i < CONDITION_COUNT; i++)
		print_estimate(writer, condition_name((enum condition_id)i),
		               &profile->conditions[i], true);
	json_close_object(writer);
}

static void print_terms(struct json_writer *writer, const struct profile *profile)
{
	const struct profile_slope *slope = &profile->slope;
	if (profile->has_slope) {
		json_open_object(writer, "slope", false);
		print_estimate(writer, "slope_long", &slope->along, true);
		print_estimate(writer, "slope_short", &slope->across, true);
		print_estimate(writer, "mm_per_m", &slope->steepness, true);
		if (slope->has_direction)
			print_estimate(writer, "direction_deg", &slope->direction, true);
		json_close_object(writer);
	}
	if (profile->has_liveliness_fall)
		print_estimate(writer, "liveliness_with_speed", &profile->liveliness_fall, true);
	if (profile->has_nap) {
		json_open_object(writer, "nap", false);
		print_estimate(writer, "nap_long", &profile->nap, true);
		json_close_object(writer);
	}
}

static void print_rails(struct json_writer *writer, const struct profile *profile)
{
	if (!profile->has_rails)
		return;
	json_open_object(writer, "rails", false);
	for (int i = 0; i < RAIL_COUNT; i++) {
		json_open_object(writer, rail_name((enum rail)i), false);
		print_estimate(writer, "liveliness", &profile->rails.rail[i].liveliness, true);
		print_estimate(writer, "grip", &profile->rails.rail[i].grip, true);
		json_close_object(writer);
	}
	json_close_object(writer);
}

static void print_spread(struct json_writer *writer, const char *key,
                         const struct profile_spread *spread)
{
	if (!spread->told)
		return;
	json_open_object(writer, key, true);
	json_number(writer, "value", spread->value);
	json_number(writer, "low95", spread->low95);
	json_number(writer, "high95", spread->high95);
	json_count(writer, "tries", spread->tries);
	json_close_object(writer);
}

static void print_players(struct json_writer *writer, const struct profile *profile)
{
	if (profile->player_count == 0)
		return;
	json_open_object(writer, "player", false);
	json_open_array(writer, "sessions", false);
	for (size_t i = 0; i < profile->player_count; i++) {
		const struct profile_player *player = &profile->players[i];
		json_open_object(writer, NULL, false);
		print_text(writer, "player", player->name);
		print_text(writer, "file", player->file);
		for (int k = 0; k < PLAYER_SPREADS; k++)
			print_spread(writer, player_spread_name((enum player_spread)k),
			             &player->spread[k]);
		for (int k = 0; k < PLAYER_OFFSETS; k++) {
			json_open_object(writer, player_offset_name((enum player_offset)k), true);
			json_number(writer, "value", player->offset[k].value);
			print_interval(writer, &player->offset[k]);
			json_close_object(writer);
		}
		json_close_object(writer);
	}
	json_close_array(writer);
	json_close_object(writer);
}

/* Only where a constant has one. */
static void print_model_errors(struct json_writer *writer, const struct profile *profile)
{
	bool open = false;
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct profile_model_error *error = &profile->model_errors[id];
		if (!error->named)
			continue;
		if (!open)
			json_open_object(writer, "model_error", false);
		open = true;
		json_open_object(writer, constant_prior((enum constant_id)id)->name, true);
		json_number(writer, "standard_error", error->standard_error);
		json_number(writer, "low95", error->low95);
		json_number(writer, "high95", error->high95);
		print_text(writer, "because", error->because);
		json_close_object(writer);
	}
	if (open)
		json_close_object(writer);
}

static void print_fit(struct json_writer *writer, const struct profile *profile)
{
	json_open_object(writer, "fit", false);
	json_count(writer, "shots_used", profile->shots_used);
	json_open_array(writer, "set_aside", false);
	for (size_t i = 0; i < profile->set_aside_count; i++) {
		const struct set_aside_row *row = &profile->set_aside[i];
		json_open_object(writer, NULL, true);
		print_text(writer, "file", row->file);
		json_count(writer, "line", row->line);
		print_text(writer, "shot", row->shot);
		print_text(writer, "reason", row->reason);
		json_close_object(writer);
	}
	json_close_array(writer);
	json_number(writer, "chi_square", profile->chi_square);
	json_number(writer, "degrees_of_freedom", profile->degrees_of_freedom);
	json_boolean(writer, "scaled", profile->scaled);
	print_text(writer, "stop_reason", profile->stop_reason);
	if (profile->has_lack_of_fit_p)
		json_number(writer, "lack_of_fit_p", profile->lack_of_fit_p);
	json_close_object(writer);
}

static void print_sources(struct json_writer *writer, const struct profile *profile)
{
	json_open_array(writer, "source", false);
	for (size_t i = 0; i < profile->source_count; i++) {
		const struct profile_source *source = &profile->sources[i];
		json_open_object(writer, NULL, true);
		print_text(writer, "file", source->file);
		json_string(writer, "sha256", source->sha256);
		print_text(writer, "protocol", source->protocol);
		json_string(writer, "protocol_sha256", source->protocol_sha256);
		json_close_object(writer);
	}
	json_close_array(writer);
}

void profile_file_print(const struct profile *profile, struct text *out)
{
	struct json_writer writer;
	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	print_head(&writer, profile);
	print_table(&writer, &profile->table);
	print_constants(&writer, profile);
	print_correlation(&writer, profile);
	print_balls(&writer, profile);
	print_conditions(&writer, profile);
	print_terms(&writer, profile);
	print_rails(&writer, profile);
	print_players(&writer, profile);
	print_model_errors(&writer, profile);
	print_fit(&writer, profile);
	print_sources(&writer, profile);
	json_close_object(&writer);
}
