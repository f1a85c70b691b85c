/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/simulation_text.h"

#include "base/number.h"
#include "files/json_text.h"
#include "model/constant_terms.h"

void simulation_note(const struct constants *constants, uint64_t seed, bool noise,
                     struct text *out)
{
	text_add(out, "simulated");
	if (noise)
		text_print(out, " with seed %llu", (unsigned long long)seed);
	else
		text_add(out, " without noise");
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		char value[NUMBER_SIZE];

		number_print(constants->value[id], value);
		text_print(out, "; %s %s", constant_prior(id)->name, value);
	}
	for (int term = 0; term < CONSTANT_TERMS; term++) {
		char value[NUMBER_SIZE];

		if (constant_term_value(&constants->terms, term) == 0)
			continue;
		number_print(constant_term_value(&constants->terms, term), value);
		text_print(out, "; %s %s", constant_term_rule(term)->name, value);
	}
}

void simulation_json_print(const struct protocol *protocol, const struct constants *constants,
                           uint64_t seed, bool noise, size_t strokes, const char *file,
                           const char *trace, const char *csv, struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-simulation");
	json_count(&writer, "version", 1);
	json_string(&writer, "protocol", protocol->name);
	json_count(&writer, "seed", seed);
	json_boolean(&writer, "noise", noise);
	json_open_object(&writer, "constants", false);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		json_number(&writer, constant_prior(id)->name, constants->value[id]);
	for (int term = 0; term < CONSTANT_TERMS; term++)
		if (constant_term_value(&constants->terms, term) != 0)
			json_number(&writer, constant_term_rule(term)->name,
			            constant_term_value(&constants->terms, term));
	json_close_object(&writer);
	json_count(&writer, "strokes", strokes);
	if (file != NULL)
		json_string(&writer, "file", file);
	else
		json_string(&writer, "measurement", csv);
	if (trace != NULL)
		json_string(&writer, "trace", trace);
	json_close_object(&writer);
}
