/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/number.h"
#include "table/notation_explain.h"

bool notation_is_long(enum notation_use use, enum rail rail)
{
	if (use == NOTATION_RAIL)
		return rail == RAIL_COUNT || rail_is_long(rail);
	return use == NOTATION_REST_LONG || use == NOTATION_PLACE_LONG;
}

#define LENGTHS "31.25in, 79.4cm, 794mm"

const char *explain_accepted(enum notation_use use, bool in_tenths)
{
	static const char *const accepted[][2] = {
		[NOTATION_REST_LONG] = {
			"0 to 8 diamonds (2.5, 2 1/2, " LENGTHS "), \"f head\", \"f foot\", "
			"\"pocket\", or nothing",
			"0 to 80, ten to a diamond (or " LENGTHS "), \"f head\", \"f foot\", "
			"\"pocket\", or nothing",
		},
		[NOTATION_REST_SHORT] = {
			"0 to 4 diamonds (2.5, 2 1/2, " LENGTHS "), \"f left\", \"f right\", "
			"\"pocket\", or nothing",
			"0 to 40, ten to a diamond (or " LENGTHS "), \"f left\", \"f right\", "
			"\"pocket\", or nothing",
		},
		[NOTATION_RAIL] = {
			"0 to 8 diamonds along left and right, 0 to 4 along head and foot (2.5, "
			"2 1/2, " LENGTHS "), with the rail's name before it or not (\"right "
			"5.6\"), or nothing",
			"0 to 80 along left and right, 0 to 40 along head and foot, ten to a "
			"diamond (or " LENGTHS "), with the rail's name before it or not "
			"(\"right 56\"), or nothing",
		},
		[NOTATION_PLACE_LONG] = {
			"0 to 8 diamonds (2.5, 2 1/2, " LENGTHS "), \"f head\" or \"f foot\"",
			"0 to 80, ten to a diamond (or " LENGTHS "), \"f head\" or \"f foot\"",
		},
		[NOTATION_PLACE_SHORT] = {
			"0 to 4 diamonds (2.5, 2 1/2, " LENGTHS "), \"f left\" or \"f right\"",
			"0 to 40, ten to a diamond (or " LENGTHS "), \"f left\" or \"f right\"",
		},
	};

	return accepted[use][in_tenths];
}

/* The rails at which the coordinate begins and ends. */
static const char *first_rail(bool along)
{
	return rail_name(along ? RAIL_HEAD : RAIL_LEFT);
}

static const char *last_rail(bool along)
{
	return rail_name(along ? RAIL_FOOT : RAIL_RIGHT);
}

static void explain_length(bool along, const struct table *table, char next[160])
{
	char last[NUMBER_SIZE];

	number_print(along ? table->length : table->width, last);
	explain_print(next, "give the distance of the ball's centre from the %s nose; the %s nose "
	                    "is %s m from it", first_rail(along), last_rail(along), last);
}

void explain_range(enum notation_use use, enum rail rail, bool rail_named,
                   const struct notation_style *style, const struct table *table,
                   const struct amount *amount, char next[160])
{
	bool along = notation_is_long(use, rail), contact = use == NOTATION_RAIL;
	bool rest = use == NOTATION_REST_LONG || use == NOTATION_REST_SHORT;
	double scale = style->diamond_value, written = amount->value;
	double end = (along ? TABLE_DIAMONDS_LONG : TABLE_DIAMONDS_SHORT) * scale;
	char number[NUMBER_SIZE], last[NUMBER_SIZE];

	number_print(written, number);
	number_print(end, last);
	if (amount->unit > 0.0)
		explain_length(along, table, next);
	else if (contact && !along && !rail_named && written <= TABLE_DIAMONDS_LONG * scale)
		explain_print(next, "write \"left %s\" or \"right %s\" if that rail was struck; "
		                    "along %s the numbers end at %s", number, number,
		              rail_name(rail), last);
	else if ((contact || rest) && scale == 1.0 && written > 10.0 && written <= 10.0 * end)
		explain_print(next, "correct it, or add the setting #diamond_value,10 if one "
		                    "diamond is written as 10 in the whole file");
	else
		explain_print(next, "give the distance of the ball's centre from the %s nose; the "
		                    "%s nose is %s", first_rail(along), last_rail(along), last);
}
