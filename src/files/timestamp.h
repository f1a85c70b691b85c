/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_TIMESTAMP_H
#define RESTPOINT_FILES_TIMESTAMP_H

#include <stdbool.h>

/* Dates and times of RFC 3339, section 5.6. Each function wants the whole text to be of that form,
 * with a day that the month has. `T` and `Z` may be small, a blank may stand for `T`. */

/* "2026-03-14" */
bool timestamp_is_date(const char *text);

/* "2026-03-14T19:05:33+01:00", "2026-03-14T18:05:33.5Z" */
bool timestamp_is_date_time(const char *text);

/* "19:05:33", "19:05:33.5", "19:05:33+01:00" */
bool timestamp_is_time(const char *text);

#endif
