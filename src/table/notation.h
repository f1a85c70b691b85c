/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TABLE_NOTATION_H
#define RESTPOINT_TABLE_NOTATION_H

#include <stdbool.h>
#include <stddef.h>

#include "table/table.h"

/* A position or a number as people write it (formats.md 2): `2.5`, `2,5`, `2 1/2`, `2-1/2`, `2½`,
 * `31.25in`, `79.4cm`, `794 mm`, `f head`, `frozen left`, `pocket`, `right 5.6`. */

/* What a cell may hold, besides a number of diamonds. */
enum notation_use {
	NOTATION_REST_LONG,  /* 0 to 8; `f head`, `f foot`; `pocket` */
	NOTATION_REST_SHORT, /* 0 to 4; `f left`, `f right`; `pocket` */
	NOTATION_RAIL,       /* a rail contact, with or without the rail's name */
	NOTATION_PLACE_LONG, /* as REST_LONG without `pocket` */
	NOTATION_PLACE_SHORT
};

/* How a file writes numbers. */
struct notation_style {
	bool decimal_comma;   /* the separator is `;` or tab: `2,5` is accepted (and `2.5` too) */
	double diamond_value; /* 1 or 10: one diamond is written as this */
};

enum notation_kind {
	NOTATION_MISSING, /* blank, `-` or `n/a` */
	NOTATION_NUMBER,  /* value in diamonds */
	NOTATION_FROZEN,  /* value in diamonds, rail the rail touched */
	NOTATION_POCKET
};

struct notation {
	enum notation_kind kind;
	double value;    /* diamonds from the head or left nose */
	bool rail_named; /* a rail contact whose cell names the rail; also true for frozen */
	enum rail rail;  /* of a frozen ball or a rail contact, where known; else RAIL_COUNT */
};

/* Why a text was refused. found is not repeated here: the caller has the text. */
struct notation_refusal {
	const char *accepted; /* static text: what is accepted */
	char next[160];       /* what to do, an imperative sentence without full stop */
};

/* Reads one cell of length bytes (UTF-8; blanks around it are ignored).
 *   table   for units and frozen balls
 *   radius  of the ball concerned [m], for frozen balls
 *   rail    for NOTATION_RAIL: the rail that the shot as designed strikes, or RAIL_COUNT when that
 *           is not known, in which case a number without a rail's name is read along a long rail
 *           when above 4 and its range is checked against 8 only.
 * True and *out when accepted; else false and *refusal. */
bool notation_read(const char *cell, size_t length, enum notation_use use,
                   const struct notation_style *style, const struct table *table, double radius,
                   enum rail rail, struct notation *out, struct notation_refusal *refusal);

/* Reads a plain quantity (seconds, frames, an error in diamonds, metres): digits with an optional
 * fraction part, decimal comma where the style allows it; no sign, no exponent, no unit.
 * Blank, `-`, `n/a`: *missing is true. */
bool notation_read_number(const char *cell, size_t length, const struct notation_style *style,
                          double *value, bool *missing, struct notation_refusal *refusal);

#endif
