/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/notation_amount.h"

#include <string.h>

#include "base/number.h"

#define NO_BREAK_SPACE "\xC2\xA0"

/* The characters that are a whole fraction, in UTF-8: U+00BC to U+00BE, U+215B to U+215E. */
static const struct {
	const char *bytes;
	double value;
} characters[] = {
	{"\xC2\xBC", 0.25},         {"\xC2\xBD", 0.5},          {"\xC2\xBE", 0.75},
	{"\xE2\x85\x9B", 0.125},    {"\xE2\x85\x9C", 0.375},    {"\xE2\x85\x9D", 0.625},
	{"\xE2\x85\x9E", 0.875},
};

bool span_is_digit(char character)
{
	return character >= '0' && character <= '9';
}

bool span_is_letter(char character)
{
	return (character >= 'a' && character <= 'z') || (character >= 'A' && character <= 'Z');
}

struct span span_from(struct span span, size_t start)
{
	if (start > span.length)
		start = span.length;
	return (struct span){span.bytes + start, span.length - start};
}

bool span_equals(struct span span, const char *text)
{
	return span.length == strlen(text) && memcmp(span.bytes, text, span.length) == 0;
}

bool span_begins(struct span span, const char *text)
{
	size_t length = strlen(text);

	return span.length >= length && memcmp(span.bytes, text, length) == 0;
}

static bool ends(struct span span, const char *text)
{
	size_t length = strlen(text);

	return span.length >= length && span_equals(span_from(span, span.length - length), text);
}

size_t span_digits(struct span span)
{
	size_t count = 0;

	while (count < span.length && span_is_digit(span.bytes[count]))
		count++;
	return count;
}

size_t span_blanks(struct span span)
{
	size_t count = 0;

	for (;;) {
		struct span rest = span_from(span, count);

		if (span_begins(rest, " ") || span_begins(rest, "\t"))
			count += 1;
		else if (span_begins(rest, NO_BREAK_SPACE))
			count += strlen(NO_BREAK_SPACE);
		else
			return count;
	}
}

static struct span trim_end(struct span span)
{
	for (;;) {
		if (ends(span, " ") || ends(span, "\t"))
			span.length -= 1;
		else if (ends(span, NO_BREAK_SPACE))
			span.length -= strlen(NO_BREAK_SPACE);
		else
			return span;
	}
}

struct span span_trim(struct span span)
{
	return trim_end(span_from(span, span_blanks(span)));
}

double amount_split_unit(struct span span, struct span *number)
{
	static const struct {
		const char *name;
		double metres;
	} units[] = {{"in", 0.0254}, {"cm", 0.01}, {"mm", 0.001}};

	for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
		if (ends(span, units[i].name)) {
			span.length -= strlen(units[i].name);
			*number = trim_end(span);
			return units[i].metres;
		}
	}
	*number = span;
	return 0.0;
}

/* The whole number before a fraction; an empty span is 0. */
static bool read_whole(struct span span, double *value)
{
	*value = 0.0;
	if (span.length == 0)
		return true;
	return span_digits(span) == span.length &&
	       number_read_plain(span.bytes, span.length, '.', value);
}

/* W and a character for a fraction, or the character alone. */
static bool read_character(struct span span, double *value)
{
	for (size_t i = 0; i < sizeof characters / sizeof characters[0]; i++) {
		if (ends(span, characters[i].bytes)) {
			double whole;

			span.length -= strlen(characters[i].bytes);
			if (!read_whole(trim_end(span), &whole))
				return false;
			*value = whole + characters[i].value;
			return true;
		}
	}
	return false;
}

/* N/D with 0 < N < D and D one of 2, 4, 8. */
static bool read_slashed(struct span span, double *value)
{
	int numerator, denominator;

	if (span.length != 3 || span.bytes[1] != '/' || !span_is_digit(span.bytes[0]) ||
	    !span_is_digit(span.bytes[2]))
		return false;
	numerator = span.bytes[0] - '0';
	denominator = span.bytes[2] - '0';
	if (denominator != 2 && denominator != 4 && denominator != 8)
		return false;
	if (numerator == 0 || numerator >= denominator)
		return false;
	*value = (double)numerator / denominator;
	return true;
}

/* N/D, W N/D or W-N/D. */
static bool read_fraction(struct span span, double *value)
{
	struct span whole = span, before;
	double part, integer;

	if (span.length < 3 || !read_slashed(span_from(span, span.length - 3), &part))
		return false;
	whole.length -= 3;
	if (ends(whole, "-"))
		before = (struct span){whole.bytes, whole.length - 1};
	else
		before = trim_end(whole);
	/* Digits right before N/D are the ambiguous 31/2; a dash needs digits before it. */
	if (whole.length > 0 && (before.length == whole.length || before.length == 0))
		return false;
	if (!read_whole(before, &integer))
		return false;
	*value = integer + part;
	return true;
}

bool amount_read(struct span span, bool decimal_comma, struct amount *out)
{
	struct span number;

	out->unit = amount_split_unit(span, &number);
	out->fraction = read_character(number, &out->value) || read_fraction(number, &out->value);
	if (out->fraction)
		return true;
	if (number_read_plain(number.bytes, number.length, '.', &out->value))
		return true;
	return decimal_comma && number_read_plain(number.bytes, number.length, ',', &out->value);
}
