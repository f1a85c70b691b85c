/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/notation_explain.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"

/* Longest piece of the person's text that is repeated in a sentence. */
#define REPEAT_LIMIT 24

void explain_print(char next[160], const char *format, ...)
{
	va_list arguments;

	va_start(arguments, format);
	vsnprintf(next, 160, format, arguments);
	va_end(arguments);
}

/* Bytes of a hyphen, minus sign (U+2212), en dash (U+2013) or em dash (U+2014) at the start. */
static size_t dash_length(struct span span)
{
	static const char *const dashes[] = {"-", "\xE2\x88\x92", "\xE2\x80\x93", "\xE2\x80\x94"};

	for (size_t i = 0; i < sizeof dashes / sizeof dashes[0]; i++) {
		if (span_begins(span, dashes[i]))
			return strlen(dashes[i]);
	}
	return 0;
}

static bool explain_sign(struct span span, const struct explain_place *place, char next[160])
{
	size_t dash = dash_length(span);

	if (dash > 0 && dash == span.length && place->in_cell)
		explain_print(next, "write \"-\" or leave the cell blank where nothing was "
		                    "measured");
	else if (dash > 0 && place->position)
		explain_print(next, "leave the minus out: positions count up from 0 at the head "
		                    "nose and at the left nose");
	else if (dash > 0)
		explain_print(next, "leave the minus out: the number cannot be below 0");
	else if (span_begins(span, "+"))
		explain_print(next, "leave the plus out");
	else
		return false;
	return true;
}

/* Bytes of digits with at most one decimal sign at the start; 0 when there is no digit. */
static size_t decimal_length(struct span span)
{
	size_t whole = span_digits(span), part;

	if (whole == span.length || (span.bytes[whole] != '.' && span.bytes[whole] != ','))
		return whole;
	part = span_digits(span_from(span, whole + 1));
	return whole + part == 0 ? 0 : whole + 1 + part;
}

static bool explain_exponent(struct span span, char next[160])
{
	size_t length = decimal_length(span);
	struct span rest = span_from(span, length);

	if (length == 0 || !(span_begins(rest, "e") || span_begins(rest, "E")))
		return false;
	rest = span_from(rest, 1);
	if (span_begins(rest, "+") || span_begins(rest, "-"))
		rest = span_from(rest, 1);
	if (span_digits(rest) == 0)
		return false;
	explain_print(next, "write the number out, without an exponent");
	return true;
}

/* Digits, a decimal comma and digits, where only a point is accepted. */
static bool explain_comma(struct span span, const struct explain_place *place, char next[160])
{
	struct span number;
	char shown[REPEAT_LIMIT + 1];
	char *comma;

	amount_split_unit(span, &number);
	if (place->decimal_comma || decimal_length(number) != number.length ||
	    span.length > REPEAT_LIMIT)
		return false;
	memcpy(shown, span.bytes, span.length);
	shown[span.length] = '\0';
	comma = strchr(shown, ',');
	if (comma == NULL)
		return false;
	*comma = '.';
	if (place->in_cell)
		explain_print(next, "write \"%s\", or separate the cells of the whole file by ; "
		                    "or tab, where \"2,5\" is accepted", shown);
	else
		explain_print(next, "write \"%s\", with a point", shown);
	return true;
}

/* N/D as written: digits, a slash, digits, and the blanks and the unit behind. */
struct slashed {
	unsigned numerator, denominator;
	size_t numerator_digits;
	char unit[REPEAT_LIMIT + 1];
};

static bool read_slashed(struct span span, struct slashed *out)
{
	size_t digits = span_digits(span);
	struct span number, below;

	if (digits == 0 || digits > 4 || !span_begins(span_from(span, digits), "/"))
		return false;
	amount_split_unit(span, &number);
	below = span_from(number, digits + 1);
	if (below.length != 1 || span_digits(below) != 1 ||
	    span.length - number.length > REPEAT_LIMIT)
		return false;
	out->denominator = (unsigned)(below.bytes[0] - '0');
	out->numerator = 0;
	for (size_t i = 0; i < digits; i++)
		out->numerator = 10 * out->numerator + (unsigned)(span.bytes[i] - '0');
	out->numerator_digits = digits;
	memcpy(out->unit, span.bytes + number.length, span.length - number.length);
	out->unit[span.length - number.length] = '\0';
	return true;
}

/* 31/2, which may be 3 1/2 with its blank lost or 31 halves, and other fractions above 1. */
static bool explain_readings(struct span span, char next[160])
{
	struct slashed read;
	char value[NUMBER_SIZE];
	unsigned part;

	if (!read_slashed(span, &read))
		return false;
	if (read.denominator != 2 && read.denominator != 4 && read.denominator != 8)
		return false;
	if (read.numerator < read.denominator)
		return false;
	number_print((double)read.numerator / read.denominator, value);
	part = read.numerator % 10;
	if (read.numerator_digits > 1 && part > 0 && part < read.denominator)
		explain_print(next, "write \"%u %u/%u%s\" or \"%s%s\", whichever is meant",
		              read.numerator / 10, part, read.denominator, read.unit, value,
		              read.unit);
	else
		explain_print(next, "write \"%s%s\" if that is meant", value, read.unit);
	return true;
}

static bool has_fraction(struct span span)
{
	struct amount amount;

	return memchr(span.bytes, '/', span.length) != NULL ||
	       (amount_read(span, false, &amount) && amount.fraction);
}

static bool explain_fraction(struct span span, const struct explain_place *place, char next[160])
{
	struct span number;
	bool in_tenths = place->in_tenths && amount_split_unit(span, &number) == 0.0;

	if (!has_fraction(span))
		return false;
	if (!place->position)
		explain_print(next, "write it as a decimal number, without a fraction");
	else if (in_tenths)
		explain_print(next, "write it without a fraction: one diamond is written as 10 "
		                    "here, so that 2 1/2 diamonds are \"25\"");
	else if (!explain_readings(span, next))
		explain_print(next, "write the fraction as halves, quarters or eighths below 1 "
		                    "(\"2 1/2\"), or a decimal number");
	return true;
}

/* A number and something behind it that is taken for a unit. */
static bool explain_unit(struct span span, const struct explain_place *place, char next[160])
{
	struct span rest = span_from(span, decimal_length(span));

	if (rest.length == span.length || rest.length == 0)
		return false;
	rest = span_trim(rest);
	if (!span_is_letter(rest.bytes[0]) && rest.bytes[0] != '"' && rest.bytes[0] != '\'')
		return false;
	if (place->position)
		explain_print(next, "write a number of diamonds, or a length in in, cm or mm such "
		                    "as \"31.25in\"");
	else
		explain_print(next, "write the number alone, without a unit");
	return true;
}

void explain_amount(struct span span, const struct explain_place *place, char next[160])
{
	if (explain_sign(span, place, next) || explain_exponent(span, next) ||
	    explain_date(span, next) || explain_comma(span, place, next) ||
	    explain_fraction(span, place, next) || explain_unit(span, place, next))
		return;
	if (place->position && place->in_tenths)
		explain_print(next, "write a number such as 25, where 10 is one diamond");
	else if (place->position)
		explain_print(next, "write a number of diamonds such as 2.5 or 2 1/2");
	else
		explain_print(next, "write a number such as 0.25");
}
