/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/json_text.h"
#include "report/plan_text.h"
#include "report/protocol_words.h"
#include "report/wording.h"

static void write_errors(struct json_writer *writer, const char *key, const double *errors,
                         bool clock)
{
	json_open_object(writer, key, false);
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		if (clock || !plan_quantity_needs_clock(q))
			json_number(writer, plan_quantity_name(q), errors[q]);
	json_close_object(writer);
}

static void write_request(const struct plan_answer *answer, struct json_writer *writer)
{
	const struct plan_request *request = answer->request;
	const char *names[5];
	size_t kit = protocol_words_kit_names(request->kit, names);

	json_string(writer, "table", request->session.table.preset);
	json_open_array(writer, "kit", true);
	for (size_t i = 0; i < kit; i++)
		json_string(writer, NULL, names[i]);
	json_close_array(writer);
	if (request->minutes > 0.0)
		json_number(writer, "most_minutes", request->minutes);
	if (request->strokes > 0)
		json_count(writer, "most_strokes", request->strokes);
	json_open_object(writer, "spreads", true);
	json_number(writer, "speed", request->spreads.speed);
	json_number(writer, "aim_deg", request->spreads.aim);
	json_number(writer, "height", request->spreads.height);
	json_number(writer, "side", request->spreads.side);
	json_close_object(writer);
	if (answer->knowing != NULL)
		json_string(writer, "knowing", answer->knowing);
	json_count(writer, "seed", request->seed);
	json_boolean(writer, "asked", request->stops);
}

static void write_search(const struct plan *plan, struct json_writer *writer)
{
	json_open_object(writer, "search", true);
	json_count(writer, "looked_at", plan->looked);
	json_count(writer, "playable", plan->playable);
	json_count(writer, "simulated", plan->simulated);
	json_count(writer, "stable", plan->stable);
	json_number(writer, "loss_greedy", plan->greedy);
	json_number(writer, "loss", plan->value);
	json_close_object(writer);
}

static void write_shots(const struct plan_answer *answer, struct json_writer *writer)
{
	json_open_array(writer, "after_each_shot", false);
	for (size_t i = 0; i < answer->plan->count; i++) {
		const struct plan_shot *shot = &answer->plan->shots[i];

		json_open_object(writer, NULL, false);
		json_string(writer, "shot", shot->design.key);
		json_count(writer, "tries", (unsigned long long)shot->design.tries);
		json_number(writer, "minutes", shot->seconds / 60.0);
		json_number(writer, "as_designed", shot->stable);
		write_errors(writer, "relative_errors", shot->errors, shot->clock);
		json_close_object(writer);
	}
	json_close_array(writer);
}

static void write_quantity(const struct plan_answer *answer, int q, struct json_writer *writer)
{
	const struct plan *plan = answer->plan;
	const char *reason = plan_text_reason(answer->request, plan, q);

	json_open_object(writer, plan_quantity_name(q), false);
	if (plan->has_clock || !plan_quantity_needs_clock(q))
		json_number(writer, "expected", plan->expected[q]);
	if (answer->request->want[q] > 0.0)
		json_number(writer, "wanted", answer->request->want[q]);
	json_string(writer, "state", knowledge_name(plan_text_state(plan, q)));
	if (reason != NULL)
		json_string(writer, "reason", reason);
	json_close_object(writer);
}

static void write_remarks(const struct plan_answer *answer, struct json_writer *writer)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		writer->out->failed = true;
		return;
	}
	plan_remarks_fill(answer, &remarks);
	remarks_json(&remarks, "remarks", writer);
	writer->out->failed = writer->out->failed || remarks.failed;
	remarks_free(&remarks);
}

void plan_json_print(const struct plan_answer *answer, const char *protocol_text, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-plan");
	json_count(&writer, "version", 1);
	write_request(answer, &writer);
	write_search(answer->plan, &writer);
	json_number(&writer, "minutes", answer->protocol->minutes);
	json_boolean(&writer, "wants_expected_to_be_met", answer->plan->wanted_met);
	write_errors(&writer, "before", answer->plan->before, true);
	write_shots(answer, &writer);
	json_open_object(&writer, "quantities", false);
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		write_quantity(answer, q, &writer);
	json_close_object(&writer);
	write_remarks(answer, &writer);
	json_verbatim(&writer, "protocol", protocol_text);
	json_close_object(&writer);
}
