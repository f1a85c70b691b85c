/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "advise/plan_search.h"
#include "advise/plan_setting.h"
#include "advise/plan_shortlist.h"

#define ROUNDS 12       /* of exchanges */
#define ASK_ROUNDS 8    /* of asking for more where what is asked is not met */
#define ASK_MORE 0.97   /* of what then would meet it */
#define STEP_SHARE 0.45 /* of the work that choosing is */

static bool is_met(const struct plan_search *search, const struct plan_design *design)
{
	double errors[PLAN_QUANTITIES];

	return search->stops && plan_search_errors(search, design, errors) &&
	       plan_search_met(search, errors);
}

/* The same design among all candidates. */
static struct plan_design look_design(const struct plan_making *making,
                                      const struct plan_design *design)
{
	struct plan_design all = *design;

	for (size_t i = 0; i < all.count; i++)
		all.items[i].candidate = making->fine_candidate[all.items[i].candidate];
	return all;
}

/* One stroke after the other; before each the candidates that look best then are simulated. */
static enum status choose_strokes(struct plan_making *making, struct plan_design *design)
{
	size_t most = making->request->strokes > 0 ? making->request->strokes : PLAN_STROKES;

	making->fine.information = making->fine_information;
	making->fine.costs = making->fine_costs;
	while (!is_met(&making->fine, design)) {
		struct plan_design all = look_design(making, design);
		size_t best;

		progress_report(making->request->progress,
		                PLAN_LOOK_SHARE +
		                    STEP_SHARE * (double)plan_design_strokes(design) / (double)most,
		                "choosing shots");
		if (plan_making_stopped(making))
			return STATUS_INTERRUPTED;
		plan_shortlist_simulate(making, &all);
		plan_search_look(&making->fine, design, making->values);
		best = plan_search_pick(&making->fine, design, making->values);
		if (best == making->fine.count || !plan_design_add(design, best))
			break;
	}
	return STATUS_OK;
}

static enum status search_all(struct plan_making *making, struct plan_design *design)
{
	enum status status = choose_strokes(making, design);

	if (status != STATUS_OK)
		return status;
	progress_report(making->request->progress, PLAN_LOOK_SHARE + STEP_SHARE,
	                "exchanging shots");
	making->plan->greedy = plan_search_value(&making->fine, design);
	plan_search_exchange(&making->fine, making->values, ROUNDS, design);
	making->plan->value = plan_search_value(&making->fine, design);
	if (making->request->stops)
		plan_search_trim(&making->fine, design);
	plan_search_order(&making->fine, design);
	return plan_making_stopped(making) ? STATUS_INTERRUPTED : STATUS_OK;
}

/* How many shots of a kind a design has. */
static size_t count_kind(const struct plan_making *making, const struct plan_design *design,
                         size_t until, enum plan_kind kind)
{
	size_t count = 0;

	for (size_t i = 0; i < until; i++)
		count +=
		    making->candidates[making->fine_candidate[design->items[i].candidate]].kind ==
		    kind;
	return count;
}

/* The shots with a key each: the name of the kind, numbered where there are several. */
static enum status take_shots(struct plan_making *making, const struct plan_design *design)
{
	struct plan *plan = making->plan;

	plan->count = 0;
	for (size_t i = 0; i < design->count; i++) {
		const struct plan_candidate *candidate =
		    &making->candidates[making->fine_candidate[design->items[i].candidate]];
		struct plan_shot *shot = &plan->shots[i];
		size_t before = count_kind(making, design, i, candidate->kind);

		*shot = (struct plan_shot){.kind = candidate->kind, .design = candidate->design};
		shot->design.tries = design->items[i].tries;
		if (count_kind(making, design, design->count, candidate->kind) > 1)
			shot->design.key =
			    arena_format(plan->arena, "%s-%zu", candidate->design.key, before + 1);
		if (shot->design.key == NULL)
			return STATUS_SYSTEM;
		plan->count++;
	}
	return STATUS_OK;
}

static enum status tell(struct plan_making *making)
{
	struct plan *plan = making->plan;
	enum status status = plan_expect(making->request, plan->count, plan->shots, plan->before);
	const struct plan_shot *last = &plan->shots[plan->count - 1];

	memcpy(plan->expected, plan->count > 0 ? last->errors : plan->before,
	       sizeof plan->expected);
	plan->has_clock = making->request->known.has_clock || (plan->count > 0 && last->clock);
	plan->wanted_met = true;
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		if (making->request->want[q] > 0.0 && plan->expected[q] > making->request->want[q])
			plan->wanted_met = false;
	return status;
}

static bool allocate(struct plan_making *making)
{
	size_t count = making->request->candidates + 1;

	making->candidates = calloc(count, sizeof *making->candidates);
	making->playable = calloc(count, sizeof *making->playable);
	making->look_information =
	    calloc(count * PLAN_LOOK_WORLDS, sizeof *making->look_information);
	making->look_costs = calloc(count, sizeof *making->look_costs);
	making->values = calloc(count + PLAN_SIMULATED_MOST, sizeof *making->values);
	making->simulated = calloc(count, sizeof *making->simulated);
	making->fine_information = calloc((PLAN_SIMULATED_MOST + PLAN_STEP_BEST) * PLAN_WORLDS,
	                                  sizeof *making->fine_information);
	making->fine_costs = calloc(PLAN_SIMULATED_MOST, sizeof *making->fine_costs);
	making->fine_candidate = calloc(PLAN_SIMULATED_MOST, sizeof *making->fine_candidate);
	return making->candidates != NULL && making->playable != NULL &&
	       making->look_information != NULL && making->look_costs != NULL &&
	       making->values != NULL && making->simulated != NULL &&
	       making->fine_information != NULL && making->fine_costs != NULL &&
	       making->fine_candidate != NULL;
}

static void release(struct plan_making *making)
{
	free(making->candidates);
	free(making->playable);
	free(making->look_information);
	free(making->look_costs);
	free(making->values);
	free(making->simulated);
	free(making->fine_information);
	free(making->fine_costs);
	free(making->fine_candidate);
}

/* The worlds in which shots are chosen are few, and a choice flatters itself in them: what is asked
 * may seem met there and not be in the many in which errors are told. Then more is asked of the
 * search: as much less than it sees now as is missing. */
static void ask_more(struct plan_making *making, const struct plan_design *design)
{
	const double *want = making->request->want, *expected = making->plan->expected;
	double seen[PLAN_QUANTITIES];

	if (!plan_search_errors(&making->fine, design, seen))
		return;
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		if (want[q] > 0.0 && expected[q] > want[q])
			making->fine.want[q] =
			    fmin(making->fine.want[q],
			         ASK_MORE * want[q] / expected[q] * seen[q] / PLAN_MARGIN);
	memcpy(making->look.want, making->fine.want, sizeof making->look.want);
}

static enum status choose(struct plan_making *making)
{
	struct plan_design design = {.count = 0};
	enum status status = STATUS_OK;
	size_t strokes;

	for (int round = 0; round < ASK_ROUNDS; round++) {
		strokes = plan_design_strokes(&design);
		status = search_all(making, &design);
		if (status == STATUS_OK)
			status = take_shots(making, &design);
		if (status == STATUS_OK)
			status = tell(making);
		if (status != STATUS_OK || making->plan->wanted_met || !making->request->stops ||
		    plan_design_strokes(&design) <= strokes)
			break;
		ask_more(making, &design);
	}
	return status;
}

static enum status make(struct plan_making *making)
{
	enum status status = STATUS_INTERNAL;

	if (plan_setting_start(making->request, making->worlds, PLAN_CHOICE_FIRST, PLAN_WORLDS,
	                       making->futures, &making->fine)) {
		making->look = making->fine;
		making->look.futures = PLAN_LOOK_WORLDS;
		status = plan_shortlist_look(making);
	}
	return status == STATUS_OK ? choose(making) : status;
}

enum status plan_make(const struct plan_request *request, struct plan *plan)
{
	struct plan_making *making = calloc(1, sizeof *making);
	enum status status = STATUS_SYSTEM;

	*plan = (struct plan){.arena = arena_create()};
	if (making != NULL) {
		making->request = request;
		making->plan = plan;
		if (plan->arena != NULL && allocate(making))
			status = make(making);
		release(making);
	}
	free(making);
	return status;
}

void plan_free(struct plan *plan)
{
	arena_free(plan->arena);
	*plan = (struct plan){.arena = NULL};
}
