/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_search.h"

#include <math.h>
#include <string.h>

#define LEAST_GAIN 1e-9 /* of the value, below which nothing is gained */

bool plan_design_add(struct plan_design *design, size_t candidate)
{
	size_t item = plan_design_find(design, candidate);

	if (item == PLAN_ITEMS)
		return false;
	if (item == design->count) {
		design->items[item].candidate = candidate;
		design->items[item].tries = 0;
		design->count++;
	}
	design->items[item].tries++;
	return true;
}

/* One stroke less of a shot; the others move up where it was the last. */
static void remove_stroke(struct plan_design *design, size_t item)
{
	if (--design->items[item].tries > 0)
		return;
	design->count--;
	memmove(&design->items[item], &design->items[item + 1],
	        (design->count - item) * sizeof design->items[0]);
}

/* The share of the limits that one stroke more of a candidate uses up; its seconds where there are
 * none. */
static double cost_share(const struct plan_search *search, const struct plan_design *design,
                         size_t candidate)
{
	double share = 0.0;

	if (search->most_seconds > 0.0)
		share = plan_design_further(search, design, candidate) / search->most_seconds;
	if (search->most_strokes > 0)
		share = fmax(share, 1.0 / (double)search->most_strokes);
	return share > 0.0 ? share : plan_design_further(search, design, candidate);
}

size_t plan_search_pick(const struct plan_search *search, const struct plan_design *design,
                        const double *values)
{
	double now = plan_search_value(search, design), most = 0.0;
	size_t best = search->count;

	for (size_t c = 0; c < search->count; c++) {
		double gain = now - values[c];

		if (!(gain > LEAST_GAIN))
			continue;
		gain /= cost_share(search, design, c);
		if (gain > most) {
			most = gain;
			best = c;
		}
	}
	return best;
}

static bool is_met(const struct plan_search *search, const struct plan_design *design)
{
	double errors[PLAN_QUANTITIES];

	return plan_search_errors(search, design, errors) && plan_search_met(search, errors);
}

void plan_search_greedy(const struct plan_search *search, double *values,
                        struct plan_design *design)
{
	while (!(search->stops && is_met(search, design))) {
		size_t best;

		plan_search_look(search, design, values);
		best = plan_search_pick(search, design, values);
		if (best == search->count || !plan_design_add(design, best))
			return;
	}
}

/* The candidate of the lowest value; search->count where none is below the limit. */
static size_t find_lowest(const struct plan_search *search, const double *values, double limit)
{
	size_t best = search->count;

	for (size_t c = 0; c < search->count; c++)
		if (values[c] < limit) {
			limit = values[c];
			best = c;
		}
	return best;
}

/* Exchanges one stroke of a shot for the best other one. False when none is better. */
static bool exchange_one(const struct plan_search *search, double *values, size_t item, double *now,
                         struct plan_design *design)
{
	struct plan_design without = *design;
	size_t best;

	remove_stroke(&without, item);
	plan_search_look(search, &without, values);
	best = find_lowest(search, values, *now - LEAST_GAIN);
	if (best == search->count || !plan_design_add(&without, best))
		return false;
	*now = values[best];
	*design = without;
	return true;
}

void plan_search_exchange(const struct plan_search *search, double *values, int rounds,
                          struct plan_design *design)
{
	double now = plan_search_value(search, design);
	bool better = true;

	for (int round = 0; round < rounds && better; round++) {
		better = false;
		for (size_t item = 0; item < design->count; item++)
			better = exchange_one(search, values, item, &now, design) || better;
		plan_search_greedy(search, values, design);
		now = plan_search_value(search, design);
	}
}

void plan_search_trim(const struct plan_search *search, struct plan_design *design)
{
	bool taken = is_met(search, design);

	while (taken) {
		struct plan_design best = *design;
		double least = plan_design_seconds(search, design);

		taken = false;
		for (size_t item = 0; item < design->count; item++) {
			struct plan_design without = *design;

			remove_stroke(&without, item);
			if (plan_design_seconds(search, &without) >= least ||
			    !is_met(search, &without))
				continue;
			least = plan_design_seconds(search, &without);
			best = without;
			taken = true;
		}
		*design = best;
	}
}

/* Which of the shots from `from` on is best next, for its time, after those before. */
static size_t find_next(const struct plan_search *search, const struct plan_design *design,
                        size_t from)
{
	struct plan_design sofar = *design;
	double now, most = -HUGE_VAL;
	size_t best = from;

	sofar.count = from;
	now = plan_search_value(search, &sofar);
	for (size_t i = from; i < design->count; i++) {
		double gain;

		sofar.count = from + 1;
		sofar.items[from] = design->items[i];
		gain = (now - plan_search_value(search, &sofar)) /
		       (plan_design_seconds(search, &sofar));
		if (gain > most) {
			most = gain;
			best = i;
		}
	}
	return best;
}

void plan_search_order(const struct plan_search *search, struct plan_design *design)
{
	for (size_t i = 0; i + 1 < design->count; i++) {
		size_t next = find_next(search, design, i);
		size_t candidate = design->items[next].candidate;
		int tries = design->items[next].tries;

		memmove(&design->items[i + 1], &design->items[i],
		        (next - i) * sizeof design->items[0]);
		design->items[i].candidate = candidate;
		design->items[i].tries = tries;
	}
}
