/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_NUMBER_H
#define RESTPOINT_BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>

/* Locale-free numbers: `.` is the decimal sign whatever the environment says. */

/* Room for number_print, the terminating zero included. */
#define NUMBER_SIZE 32

/* Reads a whole token of length bytes as a decimal number: optional minus, digits, optional
 * fraction, optional exponent (the grammar of RFC 8259 numbers, but leading zeros allowed). True
 * and *value when the whole token is such a number and finite; else false, *value untouched. */
bool number_read(const char *token, size_t length, double *value);

/* Reads a token of digits, at most one decimal sign (decimal is '.' or ','), at least one digit;
 * no sign, no exponent. True and *value on success. */
bool number_read_plain(const char *token, size_t length, char decimal, double *value);

/* Reads a whole token as an unsigned integer up to maximum. */
bool number_read_count(const char *token, size_t length, unsigned long long maximum,
                       unsigned long long *value);

/* Prints a finite double so that reading it back gives the same double: the shortest of %.15g,
 * %.16g and %.17g that does. A double that is not finite prints as "null". */
void number_print(double value, char out[NUMBER_SIZE]);

/* Prints with a fixed number of decimals (0 to 17), `.` as decimal sign, no "-0.00". A value that
 * needs more room than there is, or is not finite, prints as number_print does. */
void number_print_fixed(double value, int decimals, char out[NUMBER_SIZE]);

#endif
