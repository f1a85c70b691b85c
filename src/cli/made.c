/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/made.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/number.h"

#define LARGEST_TIME 253402300799u /* 9999-12-31T23:59:59Z */

bool made_now(char out[MADE_SIZE])
{
	const char *epoch = getenv("SOURCE_DATE_EPOCH");
	unsigned long long seconds;
	struct tm calendar;
	time_t moment = time(NULL);

	if (epoch != NULL && epoch[0] != '\0') {
		if (!number_read_count(epoch, strlen(epoch), LARGEST_TIME, &seconds))
			return false;
		moment = (time_t)seconds;
	}
	if (moment == (time_t)-1 || gmtime_r(&moment, &calendar) == NULL)
		return false;
	return strftime(out, MADE_SIZE, "%Y-%m-%dT%H:%M:%SZ", &calendar) > 0;
}
