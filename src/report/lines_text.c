/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/lines_text.h"

#include <math.h>

#include "base/number.h"
#include "report/paragraph.h"

static void add_distance(double mm, const char *more, const char *less, struct text *out)
{
	char shown[NUMBER_SIZE];

	number_print_fixed(fabs(mm), 0, shown);
	text_print(out, "%s mm %s", shown, mm < 0.0 ? less : more);
}

static void print_line(const struct fit_line *line, struct text *out)
{
	char share[NUMBER_SIZE];
	struct text words = {0};

	number_print_fixed(100.0 * line->probability, line->probability < 0.1 ? 1 : 0, share);
	text_print(&words, "shot %s, %zu stroke%s: chance gives a worse misfit in %s %% of sessions",
	           line->shot, line->strokes, line->strokes == 1 ? "" : "s", share);
	if (line->along_count + line->across_count > 0)
		text_add(&words, "; the cue ball stopped ");
	if (line->along_count > 0)
		add_distance(line->along_mm, "nearer to the foot", "nearer to the head", &words);
	if (line->along_count > 0 && line->across_count > 0)
		text_add(&words, " and ");
	if (line->across_count > 0)
		add_distance(line->across_mm, "farther right", "farther left", &words);
	if (line->along_count + line->across_count > 0)
		text_add(&words, " than a plane bed has it, after all that the strokes may explain");
	paragraph_add(out, 2, 4, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

void lines_text_print(const struct fit_result *fit, struct text *out)
{
	if (!fit->no_plane)
		return;
	text_add(out, "\nThe bed is no plane\n");
	paragraph_add(out, 2, 2,
	              "One slope for the whole bed does not explain these lines: it is bent, or "
	              "something pushes the balls on some of them. Take the slope above for what is "
	              "common to all lines.");
	for (size_t i = 0; i < fit->line_count; i++)
		print_line(&fit->lines[i], out);
}

void lines_text_json(const struct fit_result *fit, struct json_writer *writer)
{
	if (!fit->has_slope)
		return;
	json_boolean(writer, "plane", !fit->no_plane);
	json_open_array(writer, "lines", false);
	for (size_t i = 0; i < fit->line_count; i++) {
		const struct fit_line *line = &fit->lines[i];

		json_open_object(writer, NULL, true);
		json_string(writer, "shot", line->shot);
		json_count(writer, "strokes", line->strokes);
		json_count(writer, "readings", line->readings);
		json_number(writer, "chi_square", line->chi_square);
		json_number(writer, "p", line->probability);
		if (line->along_count > 0)
			json_number(writer, "along_mm", line->along_mm);
		if (line->across_count > 0)
			json_number(writer, "across_mm", line->across_mm);
		json_close_object(writer);
	}
	json_close_array(writer);
}
