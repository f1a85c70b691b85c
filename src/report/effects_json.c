/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/effects_json.h"

#include "files/json_text.h"

static void write_span(struct json_writer *writer, const char *key,
                       const struct predicted_span *span, double value)
{
	json_open_object(writer, key, true);
	json_number(writer, "value", value);
	json_number(writer, "low95", span->low95);
	json_number(writer, "high95", span->high95);
	json_close_object(writer);
}

static const char *verdict_name(enum effect_verdict verdict)
{
	static const char *const names[] = {[EFFECT_NONE] = "no-change",
	                                    [EFFECT_MORE] = "more",
	                                    [EFFECT_LESS] = "less",
	                                    [EFFECT_UNSURE] = "unsure"};

	return names[verdict];
}

static void write_words(struct json_writer *writer, const struct effects_report *report,
                        const struct effect_result *result)
{
	const struct effect_setup *setup = result->setup;
	struct text words = {0};

	if (setup->practice != NULL)
		json_string(writer, "common_practice_no_source", setup->practice);
	json_string(writer, "regime", effects_words_regime(setup->regime));
	if (setup->practice != NULL)
		json_boolean(writer, "practice_applies", result->slippery != 0);
	json_boolean(writer, "as_practice_says", result->as_said);
	json_boolean(writer, "opposite_of_practice", result->reversed);
	effects_words_practice(report, result, &words);
	json_string(writer, "words", text_bytes(&words));
	writer->out->failed = writer->out->failed || words.failed;
	text_free(&words);
}

static void write_row(struct json_writer *writer, const struct effects_report *report,
                      const struct effect_result *result)
{
	const struct effect_setup *setup = result->setup;
	struct text words = {0};

	effects_words_setup(report, setup, &words);
	json_open_object(writer, NULL, false);
	json_string(writer, "effect", setup->key);
	json_string(writer, "group", effects_words_group(setup->group));
	json_string(writer, "title", setup->title);
	json_string(writer, "set_up", text_bytes(&words));
	writer->out->failed = writer->out->failed || words.failed;
	text_free(&words);
	json_string(writer, "unit", setup->unit);
	if (setup->caution != NULL)
		json_string(writer, "caution", setup->caution);
	json_boolean(writer, "comes_about", result->happens);
	if (result->happens && result->counted > 0) {
		write_span(writer, "before", &result->before_span, result->before);
		write_span(writer, "after", &result->after_span, result->after);
		write_span(writer, "change", &result->change_span, result->after - result->before);
	}
	json_count(writer, "tables", result->counted);
	json_number(writer, "probability_more", result->more);
	json_number(writer, "probability_less", result->less);
	json_string(writer, "verdict", verdict_name(result->verdict));
	write_words(writer, report, result);
	json_close_object(writer);
}

static void write_head(struct json_writer *writer, const struct effects_report *report)
{
	struct text words = {0};

	json_string(writer, "format", "restpoint-effects");
	json_count(writer, "version", 1);
	json_string(writer, "before", report->before_file);
	if (report->after != NULL)
		json_string(writer, "after", report->after_file);
	effects_words_change(report, &words);
	json_string(writer, "change", text_bytes(&words));
	writer->out->failed = writer->out->failed || words.failed;
	text_free(&words);
	if (report->after == NULL && report->ball == NULL) {
		json_number(writer, "grip", report->grip);
		json_boolean(writer, "all_balls", report->all_balls);
	}
	if (report->ball != NULL)
		json_string(writer, "ball", report->ball);
	if (report->speed > 0.0)
		json_number(writer, "speed_m_s", report->speed);
	json_count(writer, "draws", report->draws);
	json_count(writer, "seed", report->seed);
	json_number(writer, "coverage", PREDICTION_COVERAGE);
	json_number(writer, "beyond_doubt", EFFECTS_BEYOND_DOUBT);
	json_string(writer, "basis", effects_words_basis(report));
}

static void write_remarks(struct json_writer *writer, const struct effects_report *report)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		writer->out->failed = true;
		return;
	}
	effects_words_remarks(report, &remarks);
	remarks_json(&remarks, "remarks", writer);
	writer->out->failed = writer->out->failed || remarks.failed;
	remarks_free(&remarks);
}

void effects_json_print(const struct effects_report *report, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	write_head(&writer, report);
	json_open_array(&writer, "effects", false);
	for (size_t i = 0; i < report->effects->count; i++)
		write_row(&writer, report, &report->effects->results[i]);
	json_close_array(&writer);
	write_remarks(&writer, report);
	json_close_object(&writer);
}
