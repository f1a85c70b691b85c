/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "advise/plan_information.h"
#include "advise/plan_setting.h"
#include "base/parallel.h"
#include "estimate/fit_states.h"

/* The errors that shots are expected to leave. */

bool plan_shot_has_clock(const struct shot_design *design)
{
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		enum quantity_kind kind = quantity_at(number).kind;

		if ((design->measure & (UINT32_C(1) << number)) &&
		    (kind == QUANTITY_WATCH || kind == QUANTITY_SOUND))
			return true;
	}
	return design->launch.by_ramp && design->launch.group_spread <= FIT_KNOWN_RELEASE;
}

struct plan_cost plan_setting_cost(const struct shot_design *design)
{
	return (struct plan_cost){.seconds = plan_stroke_seconds(design),
	                          .setup = PLAN_SHOT_SECONDS,
	                          .clock = plan_shot_has_clock(design)};
}

bool plan_setting_start(const struct plan_request *request, struct plan_world *worlds,
                        uint64_t first, size_t count, struct plan_future *futures,
                        struct plan_search *search)
{
	*search = (struct plan_search){.futures = count,
	                               .future = futures,
	                               .has_clock = request->known.has_clock,
	                               .most_seconds = 60.0 * request->minutes,
	                               .most_strokes = request->strokes,
	                               .stops = request->stops};
	for (size_t f = 0; f < count; f++) {
		plan_world_draw(&request->known, request->seed, first + f, &worlds[f]);
		plan_quantity_slopes(&request->session.table, worlds[f].point[0].constants,
		                     futures[f].slopes);
	}
	memcpy(search->want, request->want, sizeof search->want);
	return plan_knowledge_precision(&request->known, search->precision) &&
	       plan_setting_unknown(search);
}

bool plan_setting_unknown(struct plan_search *search)
{
	const struct plan_design none = {.count = 0};
	bool clock = search->has_clock;
	bool good;

	search->has_clock = true; /* the errors of what is known, whatever told it */
	good = plan_search_errors(search, &none, search->unknown);
	search->has_clock = clock;
	return good;
}

/* Shots in many worlds. */
struct expectation {
	const struct plan_request *request;
	struct plan_shot *shots;
	struct plan_world worlds[PLAN_TOLD_WORLDS];
	struct plan_future futures[PLAN_TOLD_WORLDS];
	struct plan_information *information; /* [shot * PLAN_TOLD_WORLDS + world] */
	struct plan_cost *costs;
};

/* Over how many players what a stroke tells is averaged: over as many as there are strokes, as
 * chance evens out over them. */
static int players_of(const struct plan_shot *shot)
{
	return shot->design.tries < PLAN_PLAYERS ? shot->design.tries : PLAN_PLAYERS;
}

/* All worlds of one shot. */
static void expect_shot(size_t index, void *context)
{
	struct expectation *work = context;
	struct plan_shot *shot = &work->shots[index];
	const struct plan_request *request = work->request;

	shot->stable =
	    plan_information_stable(&shot->design, &request->session, &request->known,
	                            PLAN_STABLE_DRAWS, plan_setting_stable_seed(request->seed));
	for (size_t w = 0; w < PLAN_TOLD_WORLDS; w++)
		plan_information_make(&shot->design, &request->session, &work->worlds[w],
		                      players_of(shot), shot->stable * plan_kind_trust(shot->kind),
		                      &work->information[index * PLAN_TOLD_WORLDS + w]);
}

static void tell_errors(const struct plan_search *search, size_t count, struct plan_shot *shots)
{
	struct plan_design design = {.count = 0};

	for (size_t i = 0; i < count; i++) {
		design.items[design.count].candidate = i;
		design.items[design.count++].tries = shots[i].design.tries;
		if (!plan_search_errors(search, &design, shots[i].errors))
			memcpy(shots[i].errors, search->unknown, sizeof shots[i].errors);
		shots[i].seconds = plan_design_seconds(search, &design);
		shots[i].clock = plan_design_has_clock(search, &design);
	}
}

static enum status expect(struct expectation *work, size_t count, double before[PLAN_QUANTITIES])
{
	struct plan_search search;

	if (!plan_setting_start(work->request, work->worlds, PLAN_TOLD_FIRST, PLAN_TOLD_WORLDS,
	                        work->futures, &search))
		return STATUS_INTERNAL;
	for (size_t i = 0; i < count; i++)
		work->costs[i] = plan_setting_cost(&work->shots[i].design);
	search.count = count;
	search.information = work->information;
	search.costs = work->costs;
	parallel_run(count, work->request->threads, expect_shot, work);
	memcpy(before, search.unknown, sizeof search.unknown);
	tell_errors(&search, count, work->shots);
	return STATUS_OK;
}

enum status plan_expect(const struct plan_request *request, size_t count, struct plan_shot *shots,
                        double before[PLAN_QUANTITIES])
{
	struct expectation *work = calloc(1, sizeof *work);
	enum status status = STATUS_SYSTEM;

	if (work == NULL)
		return STATUS_SYSTEM;
	work->request = request;
	work->shots = shots;
	work->information = calloc(count * PLAN_TOLD_WORLDS + 1, sizeof *work->information);
	work->costs = calloc(count + 1, sizeof *work->costs);
	if (work->information != NULL && work->costs != NULL)
		status = expect(work, count, before);
	free(work->information);
	free(work->costs);
	free(work);
	return status;
}
