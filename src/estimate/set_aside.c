/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/set_aside.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "base/number.h"
#include "estimate/misreading.h"

#define UNLIKELY 1e-3   /* the worst stroke goes when it is less likely than this, */
#define MANY 50.0       /* but among more strokes than this the less likely, the more there are: in
                           any session as many good ones go by chance */
#define IMPOSSIBLE 1e-7 /* and with it all that are less likely than this */
#define COMPARABLE 0.1  /* and cost more than this share of its cost: others may be pulled by it */
#define LIKELY_AGAIN (UNLIKELY * 5.0) /* what is more likely than this is used again */

static double stroke_likelihood(const struct stroke_case *stroke)
{
	return gsl_cdf_chisq_Q(stroke->cost, (double)stroke->readings.count);
}

static double foretold_likelihood(const struct stroke_case *stroke)
{
	double cost = fmax(stroke->cost, stroke->foretold);

	return gsl_cdf_chisq_Q(cost, (double)stroke->readings.count);
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

/* The own unknown that the best stroke strains most. */
static int worst_own(const struct stroke_case *stroke)
{
	int worst = 0;

	for (int i = 1; i < OWN_UNKNOWNS; i++)
		if (fabs(stroke->own[i]) > fabs(stroke->own[worst]))
			worst = i;
	return worst;
}

static const char *describe_own(const struct stroke_case *stroke, int own, struct arena *arena)
{
	static const char *const words[OWN_STROKE][2] = {{"struck too soft", "struck too hard"},
	                                                 {"aimed too far right", "aimed too far left"},
	                                                 {"struck too low", "struck too high"},
	                                                 {"struck too far left", "struck too far right"}};
	char times[NUMBER_SIZE];

	number_print_fixed(fabs(stroke->own[own]), 1, times);
	if (own >= OWN_STROKE)
		return arena_format(arena,
		                    "fits only if a rail threw the ball %s times as unevenly as rails do",
		                    times);
	return arena_format(arena, "fits only a stroke %s by %s times the usual scatter",
	                    words[own][stroke->own[own] > 0.0], times);
}

static const char *describe_reading(const struct stroke_reading *reading, double residual,
                                    struct arena *arena)
{
	struct quantity quantity = quantity_at(reading->number);
	bool time = quantity.kind == QUANTITY_WATCH || quantity.kind == QUANTITY_SOUND;
	bool rail = quantity.kind == QUANTITY_RAIL;
	char value[NUMBER_SIZE], miss[NUMBER_SIZE];

	number_print_fixed(reading->value, time ? 3 : 2, value);
	number_print_fixed(fabs(residual) * reading->error, time ? 3 : 2, miss);
	return arena_format(arena,
	                    "%s reads %s%s%s: no stroke near the designed one comes closer than "
	                    "%s %s with the other readings",
	                    quantity_name(reading->number), rail ? rail_name(reading->rail) : "",
	                    rail ? " " : "", value, miss, time ? "s" : "diamonds");
}

/* By what is most out of reach: a reading, or the stroke that would make them all. */
static const char *describe(const struct stroke_case *stroke, struct arena *arena)
{
	double residual;
	const struct stroke_reading *reading = worst_reading(stroke, &residual);
	int own = worst_own(stroke);
	const char *reason;

	/* Likely by itself, where the fit came to meet it. */
	if (stroke_likelihood(stroke) >= UNLIKELY)
		return "does not go with the other strokes: they foretell another course or time";
	reason = fabs(stroke->own[own]) > fabs(residual)
	             ? describe_own(stroke, own, arena)
	             : describe_reading(reading, residual, arena);
	return reason != NULL ? reason : "out of reach of any stroke near the designed one";
}

/* The least likely stroke in use; count when none is unlikely. Where likelihoods are too small for
 * a number, the cost tells. */
static size_t find_worst(const struct stroke_case *strokes, size_t count)
{
	size_t worst = count;
	double least = UNLIKELY * fmin(1.0, MANY / (double)(count + 1));

	for (size_t i = 0; i < count; i++) {
		double likelihood = strokes[i].used ? foretold_likelihood(&strokes[i]) : 1.0;

		if (likelihood < least ||
		    (worst < count && likelihood == least && strokes[i].cost > strokes[worst].cost)) {
			least = likelihood;
			worst = i;
		}
	}
	return worst;
}

bool set_aside_worst(struct stroke_case *strokes, size_t count, struct arena *arena,
                     const char **reasons)
{
	size_t aside = 0, worst = find_worst(strokes, count);
	double most = worst < count ? strokes[worst].cost : 0.0;
	bool any = false;

	for (size_t i = 0; i < count; i++)
		aside += !strokes[i].used;
	for (size_t i = 0; i < count && worst < count; i++) {
		bool with_it = stroke_likelihood(&strokes[i]) < IMPOSSIBLE &&
		               strokes[i].cost > COMPARABLE * most;

		if (!strokes[i].used || (i != worst && !with_it) ||
		    (double)(aside + 1) > SET_ASIDE_SHARE * (double)count)
			continue;
		reasons[i] = describe(&strokes[i], arena);
		strokes[i].used = false;
		strokes[i].spoiled = true;
		aside++;
		any = true;
	}
	return any;
}

/* Puts a stroke at the best own unknowns of a point, searched anew. */
static double settle_anew(struct fit_problem *problem, struct stroke_case *stroke,
                          const struct stroke_point *point)
{
	memcpy(stroke->trial_own, stroke->own, sizeof stroke->own);
	stroke->active_count = 0;
	if (!stroke_case_settle(stroke, point))
		return 0.0;
	stroke_case_search(stroke, point, problem->seed);
	memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
	memcpy(stroke->residuals, stroke->trial_residuals, sizeof stroke->residuals);
	stroke->cost = stroke->trial_cost;
	return stroke_likelihood(stroke);
}

static void use_again(struct stroke_case *stroke)
{
	stroke->used = true;
	stroke->spoiled = false;
	stroke->active_count = 0;
	stroke->cost = 0.0; /* none is known: it is settled as at the start */
}

/* Uses a stroke with its sounds moved by one. False when memory is out. */
static bool mend(struct stroke_case *stroke, const struct misreading *misreading,
                 struct arena *arena)
{
	int sound = quantity_at(stroke->readings.items[misreading->reading].number).number;

	stroke->mended =
	    arena_format(arena,
	                 "used with its sounds from sound%d on moved by one: contact %d was not heard",
	                 sound, sound);
	misreading_mend(stroke, misreading);
	use_again(stroke);
	return stroke->mended != NULL;
}

/* The same as set_aside_review for one stroke that is set aside. */
static bool review(struct fit_problem *problem, struct stroke_case *stroke, const double *x,
                   bool back, struct arena *arena, const char **reason)
{
	struct stroke_point point = fit_problem_point(stroke, x);
	double likelihood = settle_anew(problem, stroke, &point);
	struct misreading misreading;

	if (!stroke->spoiled && likelihood >= UNLIKELY)
		return true;
	if (back && stroke->spoiled && likelihood > LIKELY_AGAIN) {
		use_again(stroke);
		return true;
	}
	if (!misreading_find(stroke, &point, problem->seed, &misreading))
		return false;
	if (back && misreading.kind == MISREADING_UNHEARD && likelihood < IMPOSSIBLE)
		return mend(stroke, &misreading, arena);
	if (misreading.kind != MISREADING_NONE) {
		stroke->spoiled = true;
		*reason = misreading_ask(stroke, &misreading, arena);
	} else if (stroke->spoiled) {
		*reason = describe(stroke, arena);
	}
	return *reason != NULL;
}

bool set_aside_review(struct fit_problem *problem, const double *x, bool back, struct arena *arena,
                      const char **reasons, bool *returned)
{
	*returned = false;
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];

		/* What was mended and went all the same keeps the reason it has. */
		if (stroke->used || stroke->mended != NULL || progress_stopped(problem->progress))
			continue;
		if (!review(problem, stroke, x, back, arena, &reasons[i]))
			return false;
		*returned = *returned || stroke->used;
	}
	return true;
}

/* Lists the strokes whose readings were changed, of those in use. */
static bool list_repaired(const struct stroke_case *strokes, size_t count,
                          struct fit_result *result)
{
	size_t capacity = 0;

	for (size_t i = 0; i < count; i++) {
		struct set_aside_row *grown;

		if (!strokes[i].used || strokes[i].mended == NULL)
			continue;
		grown = arena_grow(result->arena, result->repaired, result->repaired_count,
		                   &capacity, sizeof *grown);
		if (grown == NULL)
			return false;
		result->repaired = grown;
		grown[result->repaired_count++] = (struct set_aside_row){
		    strokes[i].file, strokes[i].row->line, strokes[i].row->shot, strokes[i].mended};
	}
	return true;
}

/* Why a row is not among those used; NULL when it is, or when it holds no reading at all. *next: the
 * first stroke that may be of this row or a later one; strokes stand in the order of rows. */
static const char *row_reason(const struct stroke_row *row, const char *file,
                              const struct stroke_case *strokes, size_t count,
                              const char *const *reasons, size_t *next)
{
	size_t i = *next;

	if (i < count && strokes[i].row == row && strcmp(strokes[i].file, file) == 0) {
		++*next;
		return strokes[i].used ? NULL : reasons[i];
	}
	if (!row->valid)
		return row->note != NULL ? row->note : "set aside by the person";
	return "holds no reading";
}

bool set_aside_list(const struct fit_input *inputs, size_t input_count,
                    const struct stroke_case *strokes, size_t count, const char *const *reasons,
                    struct fit_result *result)
{
	size_t capacity = 0, next = 0;

	for (size_t i = 0; i < input_count; i++) {
		const struct measurement *measurement = inputs[i].measurement;

		for (size_t k = 0; k < measurement->row_count; k++) {
			const struct stroke_row *row = &measurement->rows[k];
			const char *reason =
			    row_reason(row, measurement->file, strokes, count, reasons, &next);
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
	return list_repaired(strokes, count, result);
}
