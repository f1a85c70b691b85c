/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/format_value.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DECIMALS_LIMIT 12
#define PLAIN_DIGITS 4

/* Decimals after the point that show `digits` significant digits of a number above 0. */
static int decimals_for(double number, int digits)
{
	double exponent = floor(log10(number));
	double decimals = digits - 1 - exponent;

	if (decimals > DECIMALS_LIMIT)
		return DECIMALS_LIMIT;
	if (decimals < -DECIMALS_LIMIT)
		return -DECIMALS_LIMIT;
	return (int)decimals;
}

static double round_to(double value, int decimals)
{
	double unit = pow(10.0, abs(decimals));

	return decimals < 0 ? round(value / unit) * unit : round(value * unit) / unit;
}

int format_decimals(double standard_error)
{
	int decimals = decimals_for(standard_error, 2);
	double rounded = round_to(standard_error, decimals);

	/* 0.0996 becomes 0.100, which has gained a digit. A hair is added because a rounded power of
	 * ten may lie just below it. */
	if (rounded * (1 + 1e-12) >= pow(10.0, 2 - decimals) && decimals > -DECIMALS_LIMIT)
		decimals--;
	return decimals;
}

void format_rounded(double value, int decimals, char out[NUMBER_SIZE])
{
	if (decimals < 0)
		number_print_fixed(round_to(value, decimals), 0, out);
	else
		number_print_fixed(value, decimals, out);
}

/* Takes away zeros that close a fraction. */
static void strip_zeros(char *number)
{
	size_t length = strlen(number);

	if (strchr(number, '.') == NULL)
		return;
	while (number[length - 1] == '0')
		number[--length] = '\0';
	if (number[length - 1] == '.')
		number[length - 1] = '\0';
}

void format_plain(double value, char out[NUMBER_SIZE])
{
	int decimals = 0;

	if (isfinite(value) && value != 0)
		decimals = decimals_for(fabs(value), PLAIN_DIGITS);
	format_rounded(value, decimals < 0 ? 0 : decimals, out);
	strip_zeros(out);
}

bool format_interval(const struct interval *interval, struct formatted_interval *out)
{
	int decimals;

	memset(out, 0, sizeof(*out));
	if (!isfinite(interval->standard_error) || interval->standard_error <= 0) {
		format_plain(interval->value, out->value);
		return false;
	}
	decimals = format_decimals(interval->standard_error);
	format_rounded(interval->value, decimals, out->value);
	format_rounded(interval->standard_error, decimals, out->error);
	format_rounded(interval->low95, decimals, out->low);
	format_rounded(interval->high95, decimals, out->high);
	return true;
}
