/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/misreading.h"

#include <math.h>

#include "base/number.h"

/* A misreading as a question to who wrote the row. */

static const char *ordinal(int number)
{
	static const char *const words[SOUND_READINGS] = {"1st", "2nd", "3rd", "4th",
	                                                  "5th", "6th", "7th", "8th"};

	return words[number - 1];
}

static int decimals(struct quantity quantity)
{
	return quantity.kind == QUANTITY_WATCH || quantity.kind == QUANTITY_SOUND ? 3 : 2;
}

static const char *ask_value(const struct stroke_reading *reading,
                             const struct misreading *misreading, struct arena *arena)
{
	struct quantity quantity = quantity_at(reading->number);
	const char *name = quantity_name(reading->number);
	char read[NUMBER_SIZE], away[NUMBER_SIZE], meant[NUMBER_SIZE];

	number_print_fixed(reading->value, decimals(quantity), read);
	number_print_fixed(fabs(misreading->away), decimals(quantity), away);
	number_print_fixed(misreading->value, decimals(quantity), meant);
	switch (quantity.kind) {
	case QUANTITY_REST_LONG:
	case QUANTITY_REST_SHORT:
		return arena_format(arena,
		                    "%s reads %s: stopped %s diamonds from where this stroke can "
		                    "stop: is %s %s meant?",
		                    name, read, away,
		                    quantity.kind == QUANTITY_REST_LONG ? "long" : "short", meant);
	case QUANTITY_RAIL:
		return arena_format(arena,
		                    "%s reads %s %s: %s diamonds from where this stroke can meet "
		                    "that rail: is %s %s meant?",
		                    name, rail_name(reading->rail), read, away,
		                    rail_name(reading->rail), meant);
	default:
		return arena_format(arena,
		                    "%s reads %s: %s s from the time that this stroke can take: is "
		                    "%s meant?",
		                    name, read, away, meant);
	}
}

static const char *ask_swapped(const struct stroke_reading *reading,
                               const struct misreading *misreading, struct arena *arena)
{
	char along[NUMBER_SIZE], across[NUMBER_SIZE], away[NUMBER_SIZE];

	number_print_fixed(reading[0].value, 2, along);
	number_print_fixed(reading[1].value, 2, across);
	number_print_fixed(fabs(misreading->away), 2, away);
	return arena_format(arena,
	                    "%s reads %s and %s %s: stopped %s diamonds from where this stroke can "
	                    "stop: were long and short swapped?",
	                    quantity_name(reading[0].number), along,
	                    quantity_name(reading[1].number), across, away);
}

static const char *ask_rail(const struct stroke_reading *reading,
                            const struct misreading *misreading, struct arena *arena)
{
	char read[NUMBER_SIZE];

	number_print_fixed(reading->value, 2, read);
	return arena_format(arena,
	                    "%s reads %s %s: this stroke cannot meet that rail there: is the %s rail "
	                    "meant?",
	                    quantity_name(reading->number), rail_name(reading->rail), read,
	                    rail_name(misreading->rail));
}

static const char *ask_unheard(const struct stroke_reading *reading,
                               const struct misreading *misreading, struct arena *arena)
{
	char read[NUMBER_SIZE], away[NUMBER_SIZE];

	number_print_fixed(reading->value, 3, read);
	number_print_fixed(fabs(misreading->away), 3, away);
	return arena_format(arena,
	                    "%s reads %s, which is the time of the contact after it (within %s s): was "
	                    "the %s contact not heard?",
	                    quantity_name(reading->number), read, away,
	                    ordinal(quantity_at(reading->number).number));
}

const char *misreading_ask(const struct stroke_case *stroke, const struct misreading *misreading,
                           struct arena *arena)
{
	const struct stroke_reading *reading = &stroke->readings.items[misreading->reading];

	switch (misreading->kind) {
	case MISREADING_VALUE:
		return ask_value(reading, misreading, arena);
	case MISREADING_SWAPPED:
		return ask_swapped(reading, misreading, arena);
	case MISREADING_RAIL:
		return ask_rail(reading, misreading, arena);
	case MISREADING_UNHEARD:
		return ask_unheard(reading, misreading, arena);
	default:
		return NULL;
	}
}
