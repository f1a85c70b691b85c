/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/rail.h"

#include <string.h>

static const char *const names[RAIL_COUNT] = {
	[RAIL_HEAD] = "head",
	[RAIL_FOOT] = "foot",
	[RAIL_LEFT] = "left",
	[RAIL_RIGHT] = "right",
};

const char *rail_name(enum rail rail)
{
	return names[rail];
}

bool rail_from_name(const char *name, size_t length, enum rail *rail)
{
	for (unsigned i = 0; i < RAIL_COUNT; i++) {
		if (strlen(names[i]) == length && memcmp(names[i], name, length) == 0) {
			*rail = (enum rail)i;
			return true;
		}
	}
	return false;
}
