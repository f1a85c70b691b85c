/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TABLE_NOTATION_EXPLAIN_H
#define RESTPOINT_TABLE_NOTATION_EXPLAIN_H

#include <stdbool.h>

#include "table/notation.h"
#include "table/notation_amount.h"

/* Parts of notation.c: what to do about a text that is not a number. */

/* What the place that the text stands in would have taken. */
struct explain_place {
	bool position;      /* a position or rail contact; else a plain quantity without unit */
	bool in_cell;       /* a cell of a file with a separator; else a protocol */
	bool decimal_comma; /* a decimal comma is accepted */
	bool in_tenths;     /* one diamond is written as 10, fractions are refused */
};

/* Writes an imperative sentence without full stop (printf rules), cut to the room there is. */
void explain_print(char next[160], const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Whether the number counts along the table; rail: of a rail contact, or RAIL_COUNT. */
bool notation_is_long(enum notation_use use, enum rail rail);

/* What such a cell may hold. */
const char *explain_accepted(enum notation_use use, bool in_tenths);

/* Writes the sentence for a number that is beyond the end of the table or of the rail. */
void explain_range(enum notation_use use, enum rail rail, bool rail_named,
                   const struct notation_style *style, const struct table *table,
                   const struct amount *amount, char next[160]);

/* True, with the sentence, for a text that a spreadsheet made of a number that it took for a
 * date. */
bool explain_date(struct span span, char next[160]);

/* Writes the sentence for a trimmed, not empty text that amount_read refused, or, with a fraction,
 * that the place refuses. */
void explain_amount(struct span span, const struct explain_place *place, char next[160]);

#endif
