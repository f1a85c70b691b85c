/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_SEARCH_H
#define RESTPOINT_ADVISE_PLAN_SEARCH_H

#include "advise/plan_value.h"

/* Which strokes to play, of candidates whose information is known: one more stroke after the other
 * (greedy), then exchanges of one stroke for another as long as that is better. */

/* Adds one stroke of a candidate. False where the design has no room. */
bool plan_design_add(struct plan_design *design, size_t candidate);

/* The candidate whose stroke more is best for its cost, given the values of plan_search_look;
 * search->count where none lowers the value. */
size_t plan_search_pick(const struct plan_search *search, const struct plan_design *design,
                        const double *values);

/* values: room for search->count numbers, here and below. Adds strokes until nothing lowers the
 * value, all wants are met or a limit is reached. */
void plan_search_greedy(const struct plan_search *search, double *values,
                        struct plan_design *design);

/* Exchanges strokes, and adds such as there is room for, as long as that lowers the value; rounds
 * at most. Never leaves a design of a higher value, nor one beyond the limits. */
void plan_search_exchange(const struct plan_search *search, double *values, int rounds,
                          struct plan_design *design);

/* Takes strokes away that are not needed: as long as every want stays met with the margin. */
void plan_search_trim(const struct plan_search *search, struct plan_design *design);

/* Puts the shots in the order in which they lower the value most for their time. */
void plan_search_order(const struct plan_search *search, struct plan_design *design);

#endif
