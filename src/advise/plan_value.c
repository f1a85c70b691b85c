/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_value.h"

#include <math.h>
#include <string.h>

#define PULL 0.01 /* of the logarithms beside the excesses */

/* Sum of what a design tells in each future, the aim offsets eliminated. */
struct sums {
	struct plan_information future[PLAN_FUTURES_MOST];
};

size_t plan_design_strokes(const struct plan_design *design)
{
	size_t strokes = 0;

	for (size_t i = 0; i < design->count; i++)
		strokes += (size_t)design->items[i].tries;
	return strokes;
}

double plan_design_seconds(const struct plan_search *search, const struct plan_design *design)
{
	double seconds = 0.0;

	for (size_t i = 0; i < design->count; i++) {
		const struct plan_cost *cost = &search->costs[design->items[i].candidate];

		seconds += cost->setup + design->items[i].tries * cost->seconds;
	}
	return seconds;
}

bool plan_design_has_clock(const struct plan_search *search, const struct plan_design *design)
{
	bool clock = search->has_clock;

	for (size_t i = 0; i < design->count; i++)
		clock = clock || search->costs[design->items[i].candidate].clock;
	return clock;
}

size_t plan_design_find(const struct plan_design *design, size_t candidate)
{
	size_t i = 0;

	while (i < design->count && design->items[i].candidate != candidate)
		i++;
	return i;
}

/* Adds what so many strokes of one shot tell, times sign: their aim offset is eliminated. */
static void add_shot(const struct plan_information *one, int tries, double sign,
                     struct plan_information *sum)
{
	const int aim = CONSTANT_COUNT + SHARED_AIM;
	double n = tries, share = n * n / (1.0 + n * one->at[aim][aim]);

	for (int i = 0; tries > 0 && i < PLAN_UNKNOWNS; i++)
		for (int k = 0; i != aim && k <= i; k++)
			if (k != aim)
				sum->at[i][k] += sign * (n * one->at[i][k] -
				                         share * one->at[i][aim] * one->at[k][aim]);
}

static const struct plan_information *information_of(const struct plan_search *search,
                                                     size_t candidate, size_t future)
{
	return &search->information[candidate * search->futures + future];
}

/* The priors: the habits standard normal, the constants as known. Lower triangles are filled. */
static void start_sums(const struct plan_search *search, struct sums *sums)
{
	memset(sums, 0, search->futures * sizeof sums->future[0]);
	for (size_t f = 0; f < search->futures; f++) {
		for (int i = 0; i < CONSTANT_COUNT; i++)
			for (int k = 0; k <= i; k++)
				sums->future[f].at[i][k] = search->precision[i][k];
		for (int i = CONSTANT_COUNT; i < PLAN_UNKNOWNS; i++)
			sums->future[f].at[i][i] = 1.0;
	}
}

static void sum_design(const struct plan_search *search, const struct plan_design *design,
                       struct sums *sums)
{
	start_sums(search, sums);
	for (size_t i = 0; i < design->count; i++)
		for (size_t f = 0; f < search->futures; f++)
			add_shot(information_of(search, design->items[i].candidate, f),
			         design->items[i].tries, 1.0, &sums->future[f]);
}

/* Cholesky factor of the information of the constants alone: the factor of all, habits first, ends
 * in it. False when that is not positive definite. */
static bool factor_constants(const struct plan_information *sum,
                             double factor[CONSTANT_COUNT][CONSTANT_COUNT])
{
	double l[PLAN_UNKNOWNS][PLAN_UNKNOWNS];

	for (int i = 0; i < PLAN_UNKNOWNS; i++) {
		int from = (i + CONSTANT_COUNT) % PLAN_UNKNOWNS;

		for (int k = 0; k <= i; k++) {
			int to = (k + CONSTANT_COUNT) % PLAN_UNKNOWNS;
			double rest = from > to ? sum->at[from][to] : sum->at[to][from];

			for (int j = 0; j < k; j++)
				rest -= l[i][j] * l[k][j];
			if (i > k)
				l[i][k] = rest * l[k][k];
			else if (rest > 0.0 && isfinite(rest))
				l[i][i] = 1.0 / sqrt(rest);
			else
				return false;
		}
	}
	for (int i = 0; i < CONSTANT_COUNT; i++)
		memcpy(factor[i], &l[i + SHARED_HABITS][SHARED_HABITS],
		       (size_t)(i + 1) * sizeof factor[i][0]);
	return true;
}

/* g' (L L')^-1 g; the diagonal of the factor holds its inverses. */
static double variance(double factor[CONSTANT_COUNT][CONSTANT_COUNT],
                       const double slopes[CONSTANT_COUNT])
{
	double solved[CONSTANT_COUNT], sum = 0.0;

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		solved[i] = slopes[i];
		for (int k = 0; k < i; k++)
			solved[i] -= factor[i][k] * solved[k];
		solved[i] *= factor[i][i];
		sum += solved[i] * solved[i];
	}
	return sum;
}

/* Errors of the quantities that are wanted, or of all; the sums as they stand. */
static bool errors_of(const struct plan_search *search, const struct sums *sums, bool clock,
                      bool all, double errors[PLAN_QUANTITIES])
{
	double factor[CONSTANT_COUNT][CONSTANT_COUNT];

	memset(errors, 0, PLAN_QUANTITIES * sizeof *errors);
	for (size_t f = 0; f < search->futures; f++) {
		if (!factor_constants(&sums->future[f], factor))
			return false;
		for (int q = 0; q < PLAN_QUANTITIES; q++)
			if (all || search->want[q] > 0.0)
				errors[q] += variance(factor, search->future[f].slopes[q]);
	}
	for (int q = 0; q < PLAN_QUANTITIES; q++) {
		errors[q] = sqrt(errors[q] / (double)search->futures);
		if (!clock && plan_quantity_needs_clock(q))
			errors[q] = search->unknown[q];
	}
	return true;
}

bool plan_search_errors(const struct plan_search *search, const struct plan_design *design,
                        double errors[PLAN_QUANTITIES])
{
	struct sums sums;

	sum_design(search, design, &sums);
	return errors_of(search, &sums, plan_design_has_clock(search, design), true, errors);
}

double plan_search_loss(const struct plan_search *search, const double errors[PLAN_QUANTITIES])
{
	double loss = 0.0;

	for (int q = 0; q < PLAN_QUANTITIES; q++) {
		double ratio, excess;

		if (!(search->want[q] > 0.0))
			continue;
		ratio = errors[q] / (PLAN_MARGIN * search->want[q]);
		excess = fmax(0.0, ratio - 1.0);
		loss += search->stops ? excess * excess : log1p(excess);
		loss += PULL * log(ratio);
	}
	return loss;
}

bool plan_search_met(const struct plan_search *search, const double errors[PLAN_QUANTITIES])
{
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		if (search->want[q] > 0.0 && errors[q] > PLAN_MARGIN * search->want[q])
			return false;
	return true;
}

static double value_of(const struct plan_search *search, const struct sums *sums, bool clock)
{
	double errors[PLAN_QUANTITIES];

	return errors_of(search, sums, clock, false, errors) ? plan_search_loss(search, errors)
	                                                     : HUGE_VAL;
}

double plan_search_value(const struct plan_search *search, const struct plan_design *design)
{
	struct sums sums;

	sum_design(search, design, &sums);
	return value_of(search, &sums, plan_design_has_clock(search, design));
}

double plan_design_further(const struct plan_search *search, const struct plan_design *design,
                           size_t candidate)
{
	const struct plan_cost *cost = &search->costs[candidate];

	return cost->seconds +
	       (plan_design_find(design, candidate) == design->count ? cost->setup : 0.0);
}

/* The limits on a design as a whole: what is left of them. */
struct room {
	double seconds;
	bool stroke, shot;
};

static struct room find_room(const struct plan_search *search, const struct plan_design *design)
{
	size_t strokes = plan_design_strokes(design);

	return (struct room){
	    .seconds = search->most_seconds > 0.0
	                   ? search->most_seconds - plan_design_seconds(search, design)
	                   : HUGE_VAL,
	    .stroke = strokes < PLAN_STROKES &&
	              (search->most_strokes == 0 || strokes < search->most_strokes),
	    .shot = design->count < PLAN_ITEMS};
}

static bool has_room(const struct plan_search *search, const struct plan_design *design,
                     const struct room *room, size_t candidate)
{
	size_t item = plan_design_find(design, candidate);

	return room->stroke &&
	       (item < design->count ? design->items[item].tries < PLAN_TRIES : room->shot) &&
	       plan_design_further(search, design, candidate) <= room->seconds;
}

void plan_search_look(const struct plan_search *search, const struct plan_design *design,
                      double *values)
{
	struct room room = find_room(search, design);
	bool clock = plan_design_has_clock(search, design);
	struct sums base, sums;

	sum_design(search, design, &base);
	for (size_t c = 0; c < search->count; c++) {
		size_t item = plan_design_find(design, c);
		int tries = item < design->count ? design->items[item].tries : 0;

		values[c] = HUGE_VAL;
		if (!has_room(search, design, &room, c))
			continue;
		memcpy(&sums, &base, search->futures * sizeof sums.future[0]);
		for (size_t f = 0; f < search->futures; f++) {
			add_shot(information_of(search, c, f), tries, -1.0, &sums.future[f]);
			add_shot(information_of(search, c, f), tries + 1, 1.0, &sums.future[f]);
		}
		values[c] = value_of(search, &sums, clock || search->costs[c].clock);
	}
}
