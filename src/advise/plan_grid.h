/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_GRID_H
#define RESTPOINT_ADVISE_PLAN_GRID_H

#include <stdbool.h>
#include <stddef.h>

#include "advise/plan_family.h"

/* The grid of each kind of shot. Internal to the family of a plan. */

/* How many shots the grid of a kind has. */
size_t plan_grid_size(enum plan_kind kind);

/* Whether that kind can be played and told with the kit. */
bool plan_grid_playable(enum plan_kind kind, unsigned kit);

/* Makes the shot of that number: places, aim, speed, tip, readings and watch. False for a number
 * whose balls do not stand beside one another on the bed. */
bool plan_grid_make(enum plan_kind kind, size_t number, unsigned kit, struct shot_design *design);

#endif
