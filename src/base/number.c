/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/number.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The exact value of a double, and of the point midway between two of them, has fewer significant
 * decimal digits than this, so further digits matter only by being zero or not. */
#define DIGIT_LIMIT 800
/* Powers of ten beyond this make every number of DIGIT_LIMIT digits zero or infinite. */
#define EXPONENT_LIMIT 100000

/* A decimal number taken apart: its value is the integer that the digits make, times ten to the
 * power of the exponent. */
struct decimal {
	char digits[DIGIT_LIMIT + 2];
	size_t count;
	long long exponent;
	bool negative;
};

static bool is_digit(char character)
{
	return character >= '0' && character <= '9';
}

/* Appends one digit. Leading zeros are dropped. All digits beyond the limit become one, 0 when all
 * are 0 and else 1, which rounds as they would. */
static void add_digit(struct decimal *decimal, char digit, bool fraction)
{
	if (decimal->count == 0 && digit == '0') {
		decimal->exponent -= fraction;
		return;
	}
	if (decimal->count < DIGIT_LIMIT) {
		decimal->digits[decimal->count++] = digit;
		decimal->exponent -= fraction;
		return;
	}
	if (decimal->count == DIGIT_LIMIT) {
		decimal->digits[decimal->count++] = '0';
		decimal->exponent -= 1;
	}
	if (digit != '0')
		decimal->digits[DIGIT_LIMIT] = '1';
	decimal->exponent += !fraction;
}

/* Digits from position i on; returns the position behind the last. */
static size_t read_digits(const char *token, size_t length, size_t i, struct decimal *decimal,
                          bool fraction)
{
	for (; i < length && is_digit(token[i]); i++)
		add_digit(decimal, token[i], fraction);
	return i;
}

/* The value of a decimal. An integer and an exponent hold no decimal sign, so that strtod reads
 * them alike in every locale, rounded correctly. */
static double evaluate(const struct decimal *decimal)
{
	char buffer[DIGIT_LIMIT + 32];
	long long exponent = decimal->exponent;

	if (decimal->count == 0)
		return decimal->negative ? -0.0 : 0.0;
	if (exponent > EXPONENT_LIMIT)
		exponent = EXPONENT_LIMIT;
	if (exponent < -EXPONENT_LIMIT)
		exponent = -EXPONENT_LIMIT;
	snprintf(buffer, sizeof buffer, "%s%.*se%lld", decimal->negative ? "-" : "",
	         (int)decimal->count, decimal->digits, exponent);
	return strtod(buffer, NULL);
}

/* The exponent part behind its `e`; returns the position behind it, or 0 when it has no digit. A
 * number too long for the type stays at a value that is beyond every limit. */
static size_t read_exponent(const char *token, size_t length, size_t i, long long *exponent)
{
	const long long most = 1000000000000000000LL;
	bool negative = false;
	long long value = 0;
	size_t start;

	if (i < length && (token[i] == '+' || token[i] == '-'))
		negative = token[i++] == '-';
	for (start = i; i < length && is_digit(token[i]); i++)
		value = value >= most / 10 ? most : 10 * value + (token[i] - '0');
	if (i == start)
		return 0;
	*exponent = negative ? -value : value;
	return i;
}

bool number_read(const char *token, size_t length, double *value)
{
	struct decimal decimal = {.count = 0};
	long long exponent = 0;
	size_t i = 0, start;
	double result;

	if (i < length && token[i] == '-') {
		decimal.negative = true;
		i++;
	}
	start = i;
	i = read_digits(token, length, i, &decimal, false);
	if (i == start)
		return false;
	if (i < length && token[i] == '.') {
		start = i + 1;
		i = read_digits(token, length, start, &decimal, true);
		if (i == start)
			return false;
	}
	if (i < length && (token[i] == 'e' || token[i] == 'E')) {
		i = read_exponent(token, length, i + 1, &exponent);
		decimal.exponent += exponent;
	}
	if (i != length)
		return false;
	result = evaluate(&decimal);
	if (!isfinite(result))
		return false;
	*value = result;
	return true;
}

bool number_read_plain(const char *token, size_t length, char decimal_sign, double *value)
{
	struct decimal decimal = {.count = 0};
	size_t digits, end = read_digits(token, length, 0, &decimal, false);
	double result;

	digits = end;
	if (end < length && token[end] == decimal_sign) {
		size_t start = end + 1;

		end = read_digits(token, length, start, &decimal, true);
		digits += end - start;
	}
	if (end != length || digits == 0)
		return false;
	result = evaluate(&decimal);
	if (!isfinite(result))
		return false;
	*value = result;
	return true;
}

bool number_read_count(const char *token, size_t length, unsigned long long maximum,
                       unsigned long long *value)
{
	unsigned long long result = 0;

	if (length == 0)
		return false;
	for (size_t i = 0; i < length; i++) {
		unsigned digit;

		if (!is_digit(token[i]))
			return false;
		digit = (unsigned)(token[i] - '0');
		if (digit > maximum || result > (maximum - digit) / 10)
			return false;
		result = 10 * result + digit;
	}
	*value = result;
	return true;
}

/* Copies a printed number; whatever the locale put for the decimal sign, one or more bytes that
 * occur in no other part of a number, becomes one `.`. */
static void copy_with_point(const char *printed, char out[NUMBER_SIZE])
{
	size_t length = 0;
	bool in_sign = false;

	for (; *printed != '\0' && length < NUMBER_SIZE - 1; printed++) {
		bool plain = strchr("0123456789+-e", *printed) != NULL;

		if (plain || !in_sign)
			out[length++] = *printed;
		if (!plain)
			out[length - 1] = '.';
		in_sign = !plain;
	}
	out[length] = '\0';
}

void number_print(double value, char out[NUMBER_SIZE])
{
	char printed[64];

	if (!isfinite(value)) {
		memcpy(out, "null", sizeof "null");
		return;
	}
	for (int digits = 15; digits <= 17; digits++) {
		double back;

		snprintf(printed, sizeof printed, "%.*g", digits, value);
		copy_with_point(printed, out);
		if (number_read(out, strlen(out), &back) && back == value)
			return;
	}
}

void number_print_fixed(double value, int decimals, char out[NUMBER_SIZE])
{
	char printed[64];
	int length;

	if (decimals < 0)
		decimals = 0;
	if (decimals > 17)
		decimals = 17;
	length = snprintf(printed, sizeof printed, "%.*f", decimals, value);
	/* A number that does not fit keeps all its digits in the other form. */
	if (!isfinite(value) || length < 0 || length > NUMBER_SIZE - 1) {
		number_print(value, out);
		return;
	}
	copy_with_point(printed, out);
	if (out[0] == '-' && strspn(out + 1, "0.") == strlen(out + 1))
		memmove(out, out + 1, strlen(out));
}
