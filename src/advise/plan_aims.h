/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_AIMS_H
#define RESTPOINT_ADVISE_PLAN_AIMS_H

#include <stdbool.h>

#include "model/constants.h"
#include "model/profile.h"
#include "table/table.h"

/* What a plan is to tell: constants and conditions, each with the error that is wanted. A quantity
 * is a constant, by its id, or CONSTANT_COUNT + the id of a condition. Errors are standard
 * deviations of the logarithm, to first order errors relative to the value. */

#define PLAN_QUANTITIES (CONSTANT_COUNT + CONDITION_COUNT)

/* "sliding_friction", "one_length_time_s", ... */
const char *plan_quantity_name(int quantity);

/* The constant without which a quantity cannot be known: itself, or the one that decides the
 * condition. */
enum constant_id plan_quantity_rests_on(int quantity);

/* Whether it needs a clock: a time or a known release speed (physics.md 7). */
bool plan_quantity_needs_clock(int quantity);

/* True and the quantity for its name, with - for _ and without the unit at its end if one likes. */
bool plan_quantity_from_name(const char *name, int *quantity);

/* Derivatives of the logarithms of all quantities by the standardised constants at a point; those
 * of a condition by differences of a tenth of the prior's deviation. A condition that has no value
 * there has no slopes. */
void plan_quantity_slopes(const struct table *table, const double constants[CONSTANT_COUNT],
                          double slopes[PLAN_QUANTITIES][CONSTANT_COUNT]);

/* What is wanted where nothing is said: that every constant is determined (formats.md 5), sd of the
 * logarithm 0.10 or half of the prior's, whichever is less. 0 for a condition. */
double plan_quantity_default(int quantity);

/* What a kind of reader wants: 0 for what they do not ask. */
enum plan_reader { PLAN_ROOM, PLAN_PLAYER, PLAN_REFEREE, PLAN_READERS };
const char *plan_reader_name(enum plan_reader reader);
double plan_reader_want(enum plan_reader reader, int quantity);

#endif
