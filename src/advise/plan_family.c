/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_family.h"

#include <math.h>
#include <string.h>

#include "advise/plan_grid.h"

#define LENGTH_OF_SPEEDS 2.54 /* [m]: the table whose speeds stand in the grids */
#define STROKE_SECONDS 25.0
#define OBJECT_SECONDS 10.0
#define WATCH_SECONDS 5.0
#define KIND_LEAST 120 /* a kind with no more shots than this is taken whole */

const char *plan_kind_name(enum plan_kind kind)
{
	static const char *const names[PLAN_KINDS] = {
	    "lag",    "roll",          "ramp-roll",   "ramp-cross", "cross-side",
	    "kick",   "running-kick",  "three-rails", "cut",        "straight-hit",
	    "follow", "touching-pair", "spin"};

	return names[kind];
}

double plan_kind_trust(enum plan_kind kind)
{
	return kind == PLAN_THREE ? 0.3 : 1.0;
}

double plan_stroke_seconds(const struct shot_design *design)
{
	return STROKE_SECONDS + (design->place[BALL_OBJECT].present ? OBJECT_SECONDS : 0.0) +
	       (design->watch_count > 0 ? WATCH_SECONDS : 0.0);
}

/* What the player and the table make of a design of the grid. */
static void adapt(const struct table *table, const struct plan_spreads *spreads,
                  struct shot_design *design)
{
	struct launch *launch = &design->launch;
	double scale = sqrt(table->length / LENGTH_OF_SPEEDS);
	const struct aim *aim = &design->aim;
	double by_ball = aim->kind != AIM_BALL ? 1.0 : aim->fullness >= 1.0 ? 0.5 : 5.0 / 6.0;

	launch->speed = round(20.0 * launch->speed * scale) / 20.0;
	design->aim.spread_deg = round(1e4 * spreads->aim * by_ball) / 1e4;
	if (launch->by_ramp) {
		launch->speed_spread = RAMP_DEFAULT_SPEED_SPREAD;
		launch->group_spread = RAMP_DEFAULT_GROUP_SPREAD;
		launch->groove_deg = RAMP_DEFAULT_GROOVE_DEG;
		return;
	}
	launch->speed_spread = spreads->speed;
	launch->height_spread = spreads->height;
	launch->side_spread = spreads->side;
}

/* How many shots of a kind are taken: all of a small kind, of the others the same share. */
static size_t quota(size_t size, size_t small, size_t large, size_t count)
{
	double share = 1.0;

	if (small + large > count)
		share = count > small ? (double)(count - small) / (double)large
		                      : (double)count / (double)(small + large);
	if (size <= KIND_LEAST && small <= count)
		return size;
	return (size_t)floor(share * (double)size);
}

/* The number of a grid's shot that is taken `place`-th of `take`: evenly over the grid, not at the
 * same digit of any axis again and again (steps of the golden ratio). */
static size_t spread_evenly(size_t place, size_t take, size_t size)
{
	size_t step = (size_t)(0.6180339887498949 * (double)size) | 1u;

	if (take >= size)
		return place;
	for (;; step += 2) {
		size_t a = step, b = size;

		while (b != 0) {
			size_t rest = a % b;

			a = b;
			b = rest;
		}
		if (a == 1)
			return place % size * (step % size) % size;
	}
}

static size_t fill_kind(const struct table *table, unsigned kit, const struct plan_spreads *spreads,
                        enum plan_kind kind, size_t take, struct plan_candidate *candidates)
{
	size_t size = plan_grid_size(kind), filled = 0;

	for (size_t i = 0; i < take; i++) {
		struct plan_candidate *candidate = &candidates[filled];

		memset(candidate, 0, sizeof *candidate);
		candidate->kind = kind;
		if (!plan_grid_make(kind, spread_evenly(i, take, size), kit, &candidate->design))
			continue;
		candidate->design.key = plan_kind_name(kind);
		candidate->design.title = candidate->design.how = "";
		candidate->design.tries = 1;
		adapt(table, spreads, &candidate->design);
		filled++;
	}
	return filled;
}

size_t plan_family_fill(const struct table *table, unsigned kit, const struct plan_spreads *spreads,
                        size_t count, struct plan_candidate *candidates)
{
	size_t small = 0, large = 0, filled = 0;

	for (int kind = 0; kind < PLAN_KINDS; kind++) {
		size_t size = plan_grid_playable((enum plan_kind)kind, kit)
		                  ? plan_grid_size((enum plan_kind)kind)
		                  : 0;

		*(size <= KIND_LEAST ? &small : &large) += size;
	}
	for (int kind = 0; kind < PLAN_KINDS; kind++) {
		size_t take, size = plan_grid_size((enum plan_kind)kind);

		if (!plan_grid_playable((enum plan_kind)kind, kit))
			continue;
		take = quota(size, small, large, count);
		if (filled + take > count)
			take = count - filled;
		filled +=
		    fill_kind(table, kit, spreads, (enum plan_kind)kind, take, candidates + filled);
	}
	return filled;
}
