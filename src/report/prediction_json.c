/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/prediction_json.h"

#include "files/json_text.h"
#include "report/protocol_words.h"
#include "report/table_text.h"
#include "report/wording.h"

static double share_of(size_t count, const struct prediction *prediction)
{
	return prediction->played > 0 ? (double)count / (double)prediction->played : 0.0;
}

static void write_rails(struct json_writer *writer, const struct prediction *prediction,
                        const struct predicted_reading *reading)
{
	json_open_object(writer, "rails", true);
	for (int i = 0; i < RAIL_COUNT; i++)
		if (reading->rails[i] > 0)
			json_number(writer, rail_name((enum rail)i),
			            share_of(reading->rails[i], prediction));
	json_close_object(writer);
	if (reading->rail != RAIL_COUNT)
		json_string(writer, "rail", rail_name(reading->rail));
}

static void write_moments(struct json_writer *writer, const struct watch_interval *interval)
{
	char name[24];

	moment_name(interval->from, name);
	json_string(writer, "from", name);
	moment_name(interval->to, name);
	json_string(writer, "to", name);
}

static void write_reading(struct json_writer *writer, const struct prediction *prediction,
                          const struct predicted_reading *reading)
{
	struct quantity quantity = quantity_at(reading->quantity);

	json_open_object(writer, NULL, true);
	json_string(writer, "reading", quantity_name(reading->quantity));
	json_string(writer, "unit", wording_quantity_unit(reading->quantity));
	if (quantity.kind == QUANTITY_WATCH)
		write_moments(writer, &prediction->design->watch[quantity.number - 1]);
	if (reading->designed)
		json_number(writer, "as_designed", reading->as_designed);
	if (reading->designed_rail != RAIL_COUNT)
		json_string(writer, "designed_rail", rail_name(reading->designed_rail));
	json_number(writer, "happens", share_of(reading->seen, prediction));
	if (quantity.kind == QUANTITY_RAIL)
		write_rails(writer, prediction, reading);
	if (reading->seen > 0) {
		json_number(writer, "median", reading->span.median);
		json_number(writer, "low95", reading->span.low95);
		json_number(writer, "high95", reading->span.high95);
	}
	json_close_object(writer);
}

static void write_outline(struct json_writer *writer, const struct table *table,
                          const struct predicted_ball *ball)
{
	json_open_array(writer, "outline", true);
	for (size_t i = 0; i < ball->outline.count; i++) {
		json_open_object(writer, NULL, true);
		json_number(writer, "long",
		            table_long_to_diamonds(table, ball->outline.corners[i].y));
		json_number(writer, "short",
		            table_short_to_diamonds(table, ball->outline.corners[i].x));
		json_close_object(writer);
	}
	json_close_array(writer);
	if (ball->tested > 0)
		json_number(writer, "outline_holds", (double)ball->inside / (double)ball->tested);
}

static void write_ball(struct json_writer *writer, const struct prediction *prediction, int role)
{
	const struct predicted_ball *ball = &prediction->balls[role];
	const struct ball_end *end = &prediction->traced.record.ends[role];

	json_open_object(writer, NULL, false);
	json_string(writer, "ball", ball_role_name((enum ball_role)role));
	json_boolean(writer, "as_designed_on_bed", !end->pocketed);
	if (ball->designed_pocket >= 0)
		json_string(writer, "designed_pocket",
		            prediction_words_pocket(ball->designed_pocket));
	json_number(writer, "rests_on_bed", share_of(ball->rests, prediction));
	json_open_object(writer, "pockets", true);
	for (int i = 0; i < PREDICTION_POCKETS; i++)
		if (ball->pockets[i] > 0)
			json_number(writer, prediction_words_pocket(i),
			            share_of(ball->pockets[i], prediction));
	json_close_object(writer);
	json_number(writer, "leaves_table", share_of(ball->left, prediction));
	write_outline(writer, prediction->traced.table, ball);
	json_close_object(writer);
}

static void write_shot(struct json_writer *writer, const struct prediction *prediction)
{
	const struct shot_design *design = prediction->design;
	struct text words = {0};

	json_open_object(writer, NULL, false);
	json_string(writer, "shot", design->key);
	json_string(writer, "title", design->title);
	protocol_words_launch(&design->launch, &words);
	json_string(writer, "launch", text_bytes(&words));
	writer->out->failed = writer->out->failed || words.failed;
	text_free(&words);
	json_count(writer, "plays", prediction->played);
	json_count(writer, "plays_without_end", prediction->draws - prediction->played);
	json_open_array(writer, "readings", false);
	for (size_t i = 0; i < prediction->reading_count; i++)
		write_reading(writer, prediction, &prediction->readings[i]);
	json_close_array(writer);
	json_open_array(writer, "balls", false);
	for (int i = 0; i < BALL_ROLES; i++)
		if (prediction->traced.setup.present[i])
			write_ball(writer, prediction, i);
	json_close_array(writer);
	json_close_object(writer);
}

static void write_remarks(struct json_writer *writer, const struct prediction_set *set)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		writer->out->failed = true;
		return;
	}
	prediction_words_remarks(set, &remarks);
	remarks_json(&remarks, "remarks", writer);
	writer->out->failed = writer->out->failed || remarks.failed;
	remarks_free(&remarks);
}

/* Which constants the profile does not determine. */
static void write_constants(struct json_writer *writer, const struct profile *profile)
{
	json_open_array(writer, "not_determined", true);
	for (int i = 0; i < CONSTANT_COUNT; i++)
		if (profile->constants[i].state == KNOWLEDGE_NOT_DETERMINED)
			json_string(writer, NULL, constant_prior((enum constant_id)i)->name);
	json_close_array(writer);
}

static void write_session(struct json_writer *writer, const struct profile *profile)
{
	static const enum session_note notes[] = {NOTE_TABLE_NAME, NOTE_SESSION};

	for (size_t i = 0; i < sizeof(notes) / sizeof(notes[0]); i++)
		if (profile->notes[notes[i]] != NULL)
			json_string(writer, session_note_name(notes[i]), profile->notes[notes[i]]);
	json_open_object(writer, "table", false);
	table_json_members(&profile->table, writer);
	json_close_object(writer);
}

void prediction_json_print(const struct prediction_set *set, const char *const *files,
                           size_t file_count, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-prediction");
	json_count(&writer, "version", 1);
	json_string(&writer, "profile", set->profile_file);
	json_string(&writer, "protocol", set->protocol->name);
	write_session(&writer, set->profile);
	json_boolean(&writer, "player", set->player);
	json_string(&writer, "varied", prediction_words_varied(set));
	json_count(&writer, "draws", set->draws);
	json_count(&writer, "seed", set->seed);
	json_number(&writer, "coverage", PREDICTION_COVERAGE);
	write_constants(&writer, set->profile);
	write_remarks(&writer, set);
	json_open_array(&writer, "shots", false);
	for (size_t i = 0; i < set->count; i++)
		write_shot(&writer, &set->shots[i]);
	json_close_array(&writer);
	json_open_array(&writer, "drawings", true);
	for (size_t i = 0; i < file_count; i++)
		json_string(&writer, NULL, files[i]);
	json_close_array(&writer);
	json_close_object(&writer);
}
