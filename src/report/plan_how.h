/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PLAN_HOW_H
#define RESTPOINT_REPORT_PLAN_HOW_H

#include "advise/plan_family.h"
#include "base/text.h"

/* What a player does in a shot of a plan, in plain sentences. */

/* "Lag up and down the table", "Half-ball cut", ... */
void plan_how_title(enum plan_kind kind, const struct shot_design *design, struct text *out);

/* Where the balls lie, where to aim, how to strike, what to note, when to press the watch. Paces
 * are told for the length of the table [m]. */
void plan_how_sentences(enum plan_kind kind, const struct shot_design *design, double length,
                        struct text *out);

/* "2", "1 1/2", "3 1/4"; other numbers as decimals. */
void plan_how_diamonds(double diamonds, struct text *out);

#endif
