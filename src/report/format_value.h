/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_FORMAT_VALUE_H
#define RESTPOINT_REPORT_FORMAT_VALUE_H

#include <stdbool.h>

#include "base/number.h"
#include "model/profile.h"

/* Numbers as they are shown: a standard error is rounded to two significant digits, and the value
 * and the ends of its interval to the same place (GUM, JCGM 100:2008, 7.2.6). */

/* The place of the second significant digit of a standard error, as decimals after the point:
 * 0.0082 gives 4, 1.7 gives 1, 345 gives -1 (tens). Rounding is looked ahead: 0.0996 gives 2, for
 * "0.10". Limited to -12 ... 12. The error must be finite and above 0. */
int format_decimals(double standard_error);

/* A value rounded to that many decimals; negative decimals round to tens, hundreds, ... */
void format_rounded(double value, int decimals, char out[NUMBER_SIZE]);

/* A value without an uncertainty, to at most four significant digits, without closing zeros. */
void format_plain(double value, char out[NUMBER_SIZE]);

/* An interval as shown. */
struct formatted_interval {
	char value[NUMBER_SIZE];
	char error[NUMBER_SIZE];
	char low[NUMBER_SIZE], high[NUMBER_SIZE];
};

/* Rounds all four numbers to one place. Where the standard error is 0 or not finite the value is
 * shown plain and the other three stay empty; the result then is false. */
bool format_interval(const struct interval *interval, struct formatted_interval *out);

#endif
