/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/set_aside.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "base/number.h"

#define UNLIKELY 1e-4   /* the worst stroke goes when it is less likely than this */
#define IMPOSSIBLE 1e-7 /* and with it all that are less likely than this */
#define LARGEST_SHARE 0.2

static double stroke_likelihood(const struct stroke_case *stroke)
{
	return gsl_cdf_chisq_Q(stroke->cost, (double)stroke->readings.count);
}

/* The reading that the best stroke misses by most. */
static const struct stroke_reading *worst_reading(const struct stroke_case *stroke,
                                                  double *residual)
{
	size_t worst = 0;

	for (size_t i = 1; i < stroke->readings.residual_count; i++)
		if (fabs(stroke->residuals[i]) > fabs(stroke->residuals[worst]))
			worst = i;
	*residual = stroke->residuals[worst];
	return &stroke->readings.items[stroke_readings_of_residual(&stroke->readings, worst)];
}

static const char *describe(const struct stroke_case *stroke, struct arena *arena)
{
	double residual;
	const struct stroke_reading *reading = worst_reading(stroke, &residual);
	struct quantity quantity = quantity_at(reading->number);
	bool time = quantity.kind == QUANTITY_WATCH || quantity.kind == QUANTITY_SOUND;
	bool rail = quantity.kind == QUANTITY_RAIL;
	char value[NUMBER_SIZE], miss[NUMBER_SIZE];
	const char *reason;

	number_print_fixed(reading->value, time ? 3 : 2, value);
	number_print_fixed(fabs(residual) * reading->error, time ? 3 : 2, miss);
	reason = arena_format(arena,
	                      "%s reads %s%s%s: no stroke near the designed one comes closer than "
	                      "%s %s with the other readings",
	                      quantity_name(reading->number), rail ? rail_name(reading->rail) : "",
	                      rail ? " " : "", value, miss, time ? "s" : "diamonds");
	return reason != NULL ? reason : "out of reach of any stroke near the designed one";
}

bool set_aside_worst(struct stroke_case *strokes, size_t count, struct arena *arena,
                     const char **reasons)
{
	size_t aside = 0, worst = count;
	double least = UNLIKELY;
	bool any = false;

	for (size_t i = 0; i < count; i++) {
		double likelihood;

		aside += !strokes[i].used;
		if (!strokes[i].used)
			continue;
		likelihood = stroke_likelihood(&strokes[i]);
		if (likelihood < least) {
			least = likelihood;
			worst = i;
		}
	}
	if (worst == count)
		return false;
	for (size_t i = 0; i < count; i++) {
		if (!strokes[i].used ||
		    (i != worst && !(stroke_likelihood(&strokes[i]) < IMPOSSIBLE)) ||
		    (double)(aside + 1) > LARGEST_SHARE * (double)count)
			continue;
		reasons[i] = describe(&strokes[i], arena);
		strokes[i].used = false;
		aside++;
		any = true;
	}
	return any;
}

/* Why a row is not among those used; NULL when it is, or when it holds no reading at all. */
static const char *row_reason(const struct stroke_row *row, const char *file,
                              const struct stroke_case *strokes, size_t count,
                              const char *const *reasons)
{
	if (!row->valid)
		return row->note != NULL ? row->note : "set aside by the person";
	for (size_t i = 0; i < count; i++)
		if (strokes[i].row == row && strcmp(strokes[i].file, file) == 0)
			return strokes[i].used ? NULL : reasons[i];
	return "holds no reading";
}

bool set_aside_list(const struct fit_input *inputs, size_t input_count,
                    const struct stroke_case *strokes, size_t count, const char *const *reasons,
                    struct fit_result *result)
{
	size_t capacity = 0;

	for (size_t i = 0; i < input_count; i++) {
		const struct measurement *measurement = inputs[i].measurement;

		for (size_t k = 0; k < measurement->row_count; k++) {
			const struct stroke_row *row = &measurement->rows[k];
			const char *reason =
			    row_reason(row, measurement->file, strokes, count, reasons);
			struct set_aside_row *grown;

			if (reason == NULL)
				continue;
			grown = arena_grow(result->arena, result->set_aside, result->set_aside_count,
			                   &capacity, sizeof *grown);
			if (grown == NULL)
				return false;
			result->set_aside = grown;
			grown[result->set_aside_count++] = (struct set_aside_row){
			    measurement->file, row->line, row->shot, reason};
		}
	}
	return true;
}
