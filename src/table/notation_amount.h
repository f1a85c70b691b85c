/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TABLE_NOTATION_AMOUNT_H
#define RESTPOINT_TABLE_NOTATION_AMOUNT_H

#include <stdbool.h>
#include <stddef.h>

/* Parts of notation.c: the number in a cell, with its fraction and its unit. */

/* Bytes that stand in a larger text. */
struct span {
	const char *bytes;
	size_t length;
};

/* A number as written. */
struct amount {
	double value;    /* in its unit, or as written */
	bool fraction;   /* written with a fraction such as 1/2 */
	double unit;     /* metres that the unit stands for; 0: none */
};

bool span_is_digit(char character);
bool span_is_letter(char character);

/* Without the blanks (space, tab, no-break space) at its beginning and end. */
struct span span_trim(struct span span);

/* The bytes from `start` on; an empty span when there are none. */
struct span span_from(struct span span, size_t start);

bool span_equals(struct span span, const char *text);
bool span_begins(struct span span, const char *text);

/* How many digits the span begins with. */
size_t span_digits(struct span span);

/* How many bytes of blank the span begins with. */
size_t span_blanks(struct span span);

/* Reads a trimmed span as 2.5, 2 1/2, 2-1/2, 1/2 or with one of the characters for a fraction,
 * with in, cm or mm behind or not; 2,5 too when decimal_comma. */
bool amount_read(struct span span, bool decimal_comma, struct amount *out);

/* The metres that the unit at the end of the span stands for, and the span without it; 0 and the
 * same span when there is none. */
double amount_split_unit(struct span span, struct span *number);

#endif
