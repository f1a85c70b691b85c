/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_lines.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

/* The line of a stroke; made on first use. */
static struct fit_line *find_line(struct fit_result *result, const struct stroke_case *stroke)
{
	const char *shot = stroke->row->shot;
	struct fit_line *line;

	for (size_t i = 0; i < result->line_count; i++)
		if (strcmp(result->lines[i].shot, shot) == 0)
			return &result->lines[i];
	line = &result->lines[result->line_count];
	*line = (struct fit_line){.shot = arena_copy(result->arena, shot, strlen(shot))};
	if (line->shot == NULL)
		return NULL;
	result->line_count++;
	return line;
}

/* How far the cue ball came to rest from where it should have, read less computed, along and
 * across [mm]; with the strokes that were read so. */
static void add_rests(const struct stroke_case *stroke, struct fit_line *line)
{
	const struct table *table = stroke->scene.table;

	for (size_t i = 0; i < stroke->readings.residual_count; i++) {
		const struct stroke_reading *reading =
		    &stroke->readings.items[stroke_readings_of_residual(&stroke->readings, i)];
		struct quantity quantity = quantity_at(reading->number);
		double away = -1e3 * stroke->residuals[i] * reading->error;

		if (quantity.ball != BALL_CUE)
			continue;
		if (quantity.kind == QUANTITY_REST_LONG) {
			line->along_mm += table_long_to_metres(table, away);
			line->along_count++;
		} else if (quantity.kind == QUANTITY_REST_SHORT) {
			line->across_mm += table_short_to_metres(table, away);
			line->across_count++;
		}
	}
}

/* A stroke's cost, and the aim offset that its shot had to be given: a bed that is no plane looks
 * like one. */
static bool add_stroke(const struct fit_problem *problem, const struct stroke_case *stroke,
                       const double *x, struct fit_result *result)
{
	struct fit_line *line = find_line(result, stroke);
	int aim = stroke->parameter[SHARED_AIM];
	bool first = true;

	if (line == NULL)
		return false;
	for (const struct stroke_case *other = problem->strokes; other < stroke; other++)
		first = first && !(other->used && other->parameter[SHARED_AIM] == aim);
	if (first && aim >= 0)
		line->chi_square += x[aim] * x[aim];
	line->strokes++;
	line->readings += stroke->readings.count;
	line->chi_square += stroke->cost;
	add_rests(stroke, line);
	return true;
}

bool fit_lines_fill(const struct fit_problem *problem, const double *x, struct fit_result *result)
{
	double factor =
	    result->scaled ? result->chi_square / result->degrees_of_freedom : 1.0;

	result->lines = arena_allocate(result->arena,
	                               (problem->stroke_count + 1) * sizeof *result->lines);
	if (result->lines == NULL)
		return false;
	for (size_t i = 0; i < problem->stroke_count; i++)
		if (problem->strokes[i].used &&
		    !add_stroke(problem, &problem->strokes[i], x, result))
			return false;
	for (size_t i = 0; i < result->line_count; i++) {
		struct fit_line *line = &result->lines[i];

		line->chi_square /= factor;
		line->probability =
		    gsl_cdf_chisq_Q(line->chi_square, (double)line->readings);
		if (line->probability < FIT_LINE_UNLIKELY / (double)result->line_count)
			result->no_plane = true;
		line->along_mm /= fmax(1.0, (double)line->along_count);
		line->across_mm /= fmax(1.0, (double)line->across_count);
	}
	return true;
}
