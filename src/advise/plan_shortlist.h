/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_SHORTLIST_H
#define RESTPOINT_ADVISE_PLAN_SHORTLIST_H

#include "advise/plan.h"
#include "advise/plan_information.h"

/* From all shots of the family to the few hundred that a plan is made of. Internal to the plan. */

#define PLAN_STEP_BEST 40       /* candidates simulated at each step */
#define PLAN_SIMULATED_MOST 800 /* in all */

/* Share of the work that looking at all candidates is. */
#define PLAN_LOOK_SHARE 0.45

/* A plan in the making. */
struct plan_making {
	const struct plan_request *request;
	struct plan *plan;
	size_t count; /* candidates that can be played */
	struct plan_candidate *candidates;
	bool *playable;
	struct plan_world worlds[PLAN_WORLDS];
	struct plan_future futures[PLAN_WORLDS];

	/* All candidates, in two worlds. */
	struct plan_search look;
	struct plan_information *look_information;
	struct plan_cost *look_costs;
	double *values; /* room for a search */
	bool *simulated;

	/* Those that were simulated and are stable, in all worlds. */
	struct plan_search fine;
	struct plan_information *fine_information;
	struct plan_cost *fine_costs;
	size_t *fine_candidate; /* which candidate it is */

	size_t batch[PLAN_STEP_BEST]; /* candidates being simulated */
	double stable[PLAN_STEP_BEST];
	size_t batch_count;
	size_t base; /* first candidate of the block being looked at */
};

static inline bool plan_making_stopped(const struct plan_making *making)
{
	return progress_stopped(making->request->progress);
}

/* Fills the family and looks at every candidate in a few worlds; those that cannot be played are
 * dropped. STATUS_OK or STATUS_INTERRUPTED. */
enum status plan_shortlist_look(struct plan_making *making);

/* Simulates the candidates that would be best next after a design of candidates, as far as they
 * were not before; the stable ones join those of the fine search. */
void plan_shortlist_simulate(struct plan_making *making, const struct plan_design *design);

#endif
