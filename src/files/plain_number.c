/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/plain_number.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"

/* The number that the reader divides by the unit. The product is the closest double to it, so that
 * no other could divide back better; a whole number that does is what was counted. */
static double undivided(double value, double unit)
{
	double product = value * unit, whole = round(product);
	return whole / unit == value ? whole : product;
}

static void add_zeros(struct text *out, long count)
{
	for (long i = 0; i < count; i++)
		text_add(out, "0");
}

/* Adds a number printed as D.DDDeX without its exponent. */
static void add_expanded(struct text *out, const char *number, const char *exponent)
{
	long power = strtol(exponent + 1, NULL, 10);
	char digits[NUMBER_SIZE];
	long count = 0;
	for (const char *at = number; at < exponent; at++)
		if (*at != '.' && *at != '-')
			digits[count++] = *at;
	digits[count] = '\0';
	if (*number == '-')
		text_add(out, "-");
	if (power < 0) {
		text_add(out, "0.");
		add_zeros(out, -power - 1);
		text_add(out, digits);
	} else { /* an exponent is only printed when the point lies behind all digits */
		text_add(out, digits);
		add_zeros(out, power + 1 - count);
	}
}

void plain_number_print(struct text *out, double value, double unit, int decimals)
{
	char number[NUMBER_SIZE];
	if (decimals >= 0) {
		number_print_fixed(value * unit, decimals, number);
		text_add(out, number);
		return;
	}
	double written = undivided(value, unit);
	number_print(written == 0 ? 0 : written, number); /* no minus before a zero */
	const char *exponent = strchr(number, 'e');
	if (exponent == NULL)
		text_add(out, number);
	else
		add_expanded(out, number, exponent);
}
