/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/compare_json.h"

#include "files/json_text.h"
#include "report/table_text.h"
#include "report/wording.h"

static void write_profile(struct json_writer *writer, const char *key, const char *file,
                          const struct profile *profile)
{
	static const enum session_note notes[] = {NOTE_TABLE_NAME, NOTE_SESSION};

	json_open_object(writer, key, false);
	json_string(writer, "profile", file);
	for (size_t i = 0; i < sizeof(notes) / sizeof(notes[0]); i++)
		if (profile->notes[notes[i]] != NULL)
			json_string(writer, session_note_name(notes[i]), profile->notes[notes[i]]);
	json_open_object(writer, "table", false);
	table_json_members(&profile->table, writer);
	json_close_object(writer);
	json_open_array(writer, "not_determined", true);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (profile->constants[id].state == KNOWLEDGE_NOT_DETERMINED)
			json_string(writer, NULL, constant_prior((enum constant_id)id)->name);
	json_close_array(writer);
	json_close_object(writer);
}

static void write_estimate(struct json_writer *writer, const char *key,
                           const struct estimate *estimate)
{
	json_open_object(writer, key, true);
	json_number(writer, "value", estimate->best.value);
	if (estimate->has_interval) {
		json_number(writer, "low95", estimate->best.low95);
		json_number(writer, "high95", estimate->best.high95);
	}
	json_string(writer, "state", knowledge_name(estimate->state));
	json_close_object(writer);
}

static void write_difference(struct json_writer *writer, const char *name, const char *unit,
                             const struct profile_difference *difference)
{
	json_open_object(writer, name, false);
	if (unit != NULL)
		json_string(writer, "unit", unit);
	write_estimate(writer, "home", difference->home);
	write_estimate(writer, "here", difference->here);
	json_boolean(writer, "known", difference->known);
	if (difference->known) {
		json_number(writer, "percent", difference->percent);
		json_number(writer, "low95", difference->low95);
		json_number(writer, "high95", difference->high95);
		json_number(writer, "sure", difference->sure);
		json_boolean(writer, "beyond_doubt", difference->beyond_doubt);
	}
	json_close_object(writer);
}

static void write_differences(struct json_writer *writer, const struct compare_set *set)
{
	json_open_object(writer, "conditions", false);
	for (int id = 0; id < CONDITION_COUNT; id++) {
		struct profile_difference difference =
		    profile_difference_condition(set->home, set->here, (enum condition_id)id);

		write_difference(writer, condition_name((enum condition_id)id),
		                 wording_condition((enum condition_id)id)->unit, &difference);
	}
	json_close_object(writer);
	json_open_object(writer, "constants", false);
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		struct profile_difference difference =
		    profile_difference_constant(set->home, set->here, (enum constant_id)id);

		write_difference(writer, constant_prior((enum constant_id)id)->name, NULL,
		                 &difference);
	}
	json_close_object(writer);
}

static void write_span(struct json_writer *writer, const char *key, double factor,
                       const struct predicted_span *span)
{
	json_open_object(writer, key, true);
	json_number(writer, "median", factor * span->median);
	json_number(writer, "low95", factor * span->low95);
	json_number(writer, "high95", factor * span->high95);
	json_close_object(writer);
}

static const char *verdict_of(const struct adjustment_change *change)
{
	if (!change->possible)
		return "no stroke does it";
	if (change->worth_making)
		return "change";
	return change->settled ? "no change worth making" : "no change known";
}

static void write_spans(struct json_writer *writer, const struct compare_set *set,
                        const struct adjustment_change *change)
{
	struct compare_scale scale = compare_words_scale(set, change->adjustment);
	struct compare_scale values = compare_words_value_scale(set, change->adjustment);

	json_string(writer, "value_unit", values.key);
	write_span(writer, "home", values.factor, &change->home);
	write_span(writer, "here", values.factor, &change->here);
	json_string(writer, "change_unit", scale.key);
	write_span(writer, "change", scale.factor, &change->change);
	json_number(writer, "sure", change->sure);
	json_boolean(writer, "beyond_doubt", change->beyond_doubt);
	if (change->worth_making)
		json_string(writer, "direction",
		            compare_words_direction(change->adjustment, change->change.median));
	if (change->miss_seen > 0) {
		json_string(writer, "miss_unit",
		            change->adjustment->kept == KEEP_CUT ? "degrees" : "diamonds");
		write_span(writer, "miss", 1.0, &change->miss);
	}
}

static void write_change(struct json_writer *writer, const struct compare_set *set,
                         const struct adjustment_change *change)
{
	const struct adjustment *adjustment = change->adjustment;
	struct compare_group group = compare_words_group(adjustment->group);
	struct compare_scale scale = compare_words_scale(set, adjustment);

	json_open_object(writer, NULL, false);
	json_string(writer, "adjustment", adjustment->key);
	json_string(writer, "group", group.title);
	json_string(writer, "title", adjustment->title);
	json_string(writer, "setup", adjustment->setup[0] != '\0' ? adjustment->setup : group.setup);
	json_string(writer, "verdict", verdict_of(change));
	json_number(writer, "threshold",
	            scale.factor * adjustment_threshold(adjustment->varied));
	json_count(writer, "solved", change->solved);
	json_count(writer, "home_without", change->home_without);
	json_count(writer, "here_without", change->here_without);
	if (change->solved > 0)
		write_spans(writer, set, change);
	json_open_array(writer, "rests_on_not_determined", true);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if ((change->rests_on >> id & 1u) != 0)
			json_string(writer, NULL, constant_prior((enum constant_id)id)->name);
	json_close_array(writer);
	json_close_object(writer);
}

static void write_remarks(struct json_writer *writer, const struct compare_set *set)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		writer->out->failed = true;
		return;
	}
	compare_words_remarks(set, &remarks);
	remarks_json(&remarks, "remarks", writer);
	writer->out->failed = writer->out->failed || remarks.failed;
	remarks_free(&remarks);
}

void compare_json_print(const struct compare_set *set, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-comparison");
	json_count(&writer, "version", 1);
	write_profile(&writer, "home", set->home_file, set->home);
	write_profile(&writer, "here", set->here_file, set->here);
	json_boolean(&writer, "same_measurement", set->same);
	json_count(&writer, "draws", set->draws);
	json_count(&writer, "seed", set->seed);
	json_number(&writer, "tip_width_m", set->tip_width);
	json_number(&writer, "elevation_deg", set->elevation_deg);
	json_number(&writer, "end_mass_ratio", set->end_mass_ratio);
	write_differences(&writer, set);
	json_open_array(&writer, "adjustments", false);
	for (size_t i = 0; i < set->count; i++)
		write_change(&writer, set, &set->changes[i]);
	json_close_array(&writer);
	write_remarks(&writer, set);
	json_close_object(&writer);
}
