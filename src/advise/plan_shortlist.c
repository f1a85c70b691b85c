/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_shortlist.h"

#include <math.h>
#include <string.h>

#include "advise/plan_setting.h"
#include "base/parallel.h"

#define BLOCK 250 /* candidates between two looks at the stop flag */

/* One candidate: can it be played, and what would it tell in two worlds. */
static void look_at(size_t index, void *context)
{
	struct plan_making *making = context;
	const struct plan_request *request = making->request;
	size_t c = making->base + index;
	struct shot_design *design = &making->candidates[c].design;

	making->playable[c] = plan_information_check(design, &request->session, &request->known);
	for (size_t w = 0; making->playable[c] && w < PLAN_LOOK_WORLDS; w++)
		plan_information_make(design, &request->session, &making->worlds[w], 1,
		                      plan_kind_trust(making->candidates[c].kind),
		                      &making->look_information[c * PLAN_LOOK_WORLDS + w]);
}

/* Moves the candidates that can be played to the front. */
static void keep_playable(struct plan_making *making, size_t looked)
{
	for (size_t c = 0; c < looked; c++) {
		size_t to = making->count;

		if (!making->playable[c])
			continue;
		making->candidates[to] = making->candidates[c];
		memmove(&making->look_information[to * PLAN_LOOK_WORLDS],
		        &making->look_information[c * PLAN_LOOK_WORLDS],
		        PLAN_LOOK_WORLDS * sizeof making->look_information[0]);
		making->look_costs[to] = plan_setting_cost(&making->candidates[c].design);
		making->count++;
	}
}

enum status plan_shortlist_look(struct plan_making *making)
{
	const struct plan_request *request = making->request;
	size_t looked = plan_family_fill(&request->session.table, request->kit, &request->spreads,
	                                 request->candidates, making->candidates);

	for (making->base = 0; making->base < looked; making->base += BLOCK) {
		size_t left = looked - making->base;

		progress_report(request->progress,
		                PLAN_LOOK_SHARE * (double)making->base / (double)looked,
		                "looking at shots");
		if (plan_making_stopped(making))
			return STATUS_INTERRUPTED;
		parallel_run(left < BLOCK ? left : BLOCK, request->threads, look_at, making);
	}
	keep_playable(making, looked);
	making->plan->looked = looked;
	making->plan->playable = making->count;
	making->look.count = making->count;
	making->look.information = making->look_information;
	making->look.costs = making->look_costs;
	return STATUS_OK;
}

/* Simulates one candidate of the batch; what a stable one tells goes behind those there are. */
static void simulate_one(size_t index, void *context)
{
	struct plan_making *making = context;
	const struct plan_request *request = making->request;
	const struct plan_candidate *candidate = &making->candidates[making->batch[index]];
	const struct shot_design *design = &candidate->design;
	struct plan_information *to =
	    &making->fine_information[(making->fine.count + index) * PLAN_WORLDS];
	double share =
	    plan_information_stable(design, &request->session, &request->known, PLAN_STABLE_DRAWS,
	                            plan_setting_stable_seed(request->seed));

	making->stable[index] = share;
	for (size_t w = 0; share >= PLAN_STABLE && w < PLAN_WORLDS; w++)
		plan_information_make(design, &request->session, &making->worlds[w],
		                      PLAN_WORLD_PLAYERS, share * plan_kind_trust(candidate->kind),
		                      &to[w]);
}

/* Takes those of the batch that are stable; the others tell nothing from now on. */
static void take_batch(struct plan_making *making)
{
	size_t first = making->fine.count;

	for (size_t i = 0; i < making->batch_count; i++) {
		size_t c = making->batch[i], to = making->fine.count;

		making->plan->simulated++;
		if (making->stable[i] < PLAN_STABLE) {
			memset(&making->look_information[c * PLAN_LOOK_WORLDS], 0,
			       PLAN_LOOK_WORLDS * sizeof making->look_information[0]);
			making->look_costs[c].clock = false;
			continue;
		}
		memmove(&making->fine_information[to * PLAN_WORLDS],
		        &making->fine_information[(first + i) * PLAN_WORLDS],
		        PLAN_WORLDS * sizeof making->fine_information[0]);
		making->fine_costs[to] = making->look_costs[c];
		making->fine_candidate[to] = c;
		making->fine.count++;
		making->plan->stable++;
	}
}

/* The best candidates that were not simulated yet, by the values there. */
static void choose_batch(struct plan_making *making)
{
	size_t room = PLAN_SIMULATED_MOST - making->plan->simulated;

	making->batch_count = 0;
	while (making->batch_count < PLAN_STEP_BEST && making->batch_count < room) {
		size_t best = making->count;
		double lowest = HUGE_VAL;

		for (size_t c = 0; c < making->count; c++)
			if (!making->simulated[c] && making->values[c] < lowest) {
				lowest = making->values[c];
				best = c;
			}
		if (best == making->count)
			return;
		making->simulated[best] = true;
		making->batch[making->batch_count++] = best;
	}
}

void plan_shortlist_simulate(struct plan_making *making, const struct plan_design *design)
{
	plan_search_look(&making->look, design, making->values);
	choose_batch(making);
	parallel_run(making->batch_count, making->request->threads, simulate_one, making);
	take_batch(making);
}
