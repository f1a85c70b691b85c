/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/notation_explain.h"

#include <string.h>

/* A byte of a word: of a letter in ASCII, or of one beyond it ("févr."). */
static bool is_word_byte(char character)
{
	return span_is_letter(character) || (unsigned char)character >= 0x80;
}

static size_t word_length(struct span span)
{
	size_t count = 0;

	while (count < span.length && is_word_byte(span.bytes[count]))
		count++;
	return count;
}

static bool is_separator(char character)
{
	return character == '-' || character == '.' || character == '/';
}

/* True for a word that begins as an English month, in any case. */
static bool begins_as_month(struct span word)
{
	static const char months[] = "janfebmaraprmayjunjulaugsepoctnovdec";

	if (word.length < 3)
		return false;
	for (size_t i = 0; i + 3 <= strlen(months); i += 3) {
		size_t same = 0;

		while (same < 3 && (word.bytes[same] | 0x20) == months[i + same])
			same++;
		if (same == 3)
			return true;
	}
	return false;
}

/* 01/02/2026, 2.1.26, 2026-01-02 and the like, whatever stands behind; 01/02 too, as nobody writes
 * a fraction with a zero in front. */
static bool is_numeric_date(struct span span)
{
	size_t first = span_digits(span), second, third;
	struct span rest;

	if (first == 0 || first > 4 || first == span.length || !is_separator(span.bytes[first]))
		return false;
	rest = span_from(span, first + 1);
	second = span_digits(rest);
	if (second == 0 || second > 2)
		return false;
	if (second == rest.length)
		return span.bytes[first] == '/' &&
		       ((first == 2 && span.bytes[0] == '0') ||
		        (second == 2 && rest.bytes[0] == '0'));
	if (rest.bytes[second] != span.bytes[first])
		return false;
	third = span_digits(span_from(rest, second + 1));
	return third >= 1 && third <= 4;
}

/* 2-Jan, 2. Jan 26, 2 January: a day, then a month in letters. Behind a separator any word of three
 * letters or more counts, as months have other names elsewhere. */
static bool is_day_and_month(struct span span)
{
	size_t digits = span_digits(span), length;
	struct span rest = span_from(span, digits);
	struct amount amount;
	bool separated;

	if (digits == 0 || digits > 2 || rest.length == 0)
		return false;
	separated = is_separator(rest.bytes[0]);
	rest = span_trim(span_from(rest, separated));
	length = word_length(rest);
	if (amount_read(rest, false, &amount))
		return false;
	return (separated && length >= 3) || begins_as_month((struct span){rest.bytes, length});
}

/* Jan-02, Jan 26: a month in letters, then a number. */
static bool is_month_and_day(struct span span)
{
	size_t length = word_length(span);
	struct span rest = span_from(span, length);
	bool separated;

	if (length < 3 || rest.length == 0)
		return false;
	separated = is_separator(rest.bytes[0]);
	rest = span_trim(span_from(rest, separated));
	if (span_digits(rest) == 0)
		return false;
	return separated || begins_as_month((struct span){span.bytes, length});
}

bool explain_date(struct span span, char next[160])
{
	if (!is_numeric_date(span) && !is_day_and_month(span) && !is_month_and_day(span))
		return false;
	explain_print(next, "format the column as text and type the number again: a spreadsheet "
	                    "made a date of it");
	return true;
}
