/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_MADE_H
#define RESTPOINT_CLI_MADE_H

#include <stdbool.h>

#define MADE_SIZE 24

/* The time that is written into what the program makes: now, or SOURCE_DATE_EPOCH where that is
 * set, in UTC as RFC 3339 with seconds, e.g. "2026-11-25T02:18:49Z". False when the variable is not
 * a whole number of seconds up to the year 9999, or the clock cannot be read. */
bool made_now(char out[MADE_SIZE]);

#endif
