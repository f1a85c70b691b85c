/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_SETTING_H
#define RESTPOINT_ADVISE_PLAN_SETTING_H

#include "advise/plan.h"
#include "advise/plan_information.h"

/* From what is asked of a plan to a search. Internal to the plan. */

/* Numbers of the worlds: those in which shots are chosen, and others in which the errors are told,
 * so that a choice by chance does not flatter itself. */
#define PLAN_CHOICE_FIRST 1u
#define PLAN_TOLD_FIRST 1000u

/* The seed of the strokes that are simulated for stability. */
static inline uint64_t plan_setting_stable_seed(uint64_t seed)
{
	return seed ^ UINT64_C(0x5bd1e995);
}

/* What a shot costs. */
struct plan_cost plan_setting_cost(const struct shot_design *design);

/* Draws `count` worlds, the first of that number, with the slopes of what is wanted there, and
 * fills a search but for its candidates. False when what is known is no covariance. */
bool plan_setting_start(const struct plan_request *request, struct plan_world *worlds,
                        uint64_t first, size_t count, struct plan_future *futures,
                        struct plan_search *search);

/* Fills the errors of the search before any stroke. */
bool plan_setting_unknown(struct plan_search *search);

#endif
