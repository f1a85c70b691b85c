/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TABLE_RAIL_H
#define RESTPOINT_TABLE_RAIL_H

#include <stdbool.h>
#include <stddef.h>

/* The four rails as seen from the head looking to the foot: head y = 0, foot y = length, left
 * x = 0, right x = width (cushion noses). */
enum rail { RAIL_HEAD, RAIL_FOOT, RAIL_LEFT, RAIL_RIGHT, RAIL_COUNT };

/* "head", "foot", "left", "right"; never NULL for a valid rail. */
const char *rail_name(enum rail rail);

/* True and *rail when the length bytes are the name of a rail. */
bool rail_from_name(const char *name, size_t length, enum rail *rail);

/* True for left and right: along such a rail runs the long coordinate. */
static inline bool rail_is_long(enum rail rail)
{
	return rail == RAIL_LEFT || rail == RAIL_RIGHT;
}

#endif
