/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TABLE_TABLE_H
#define RESTPOINT_TABLE_TABLE_H

#include <stdbool.h>
#include <stddef.h>

#include "table/rail.h"

/* Diamonds along the table and across it. */
#define TABLE_DIAMONDS_LONG 8.0
#define TABLE_DIAMONDS_SHORT 4.0

/* Which numbers of a preset are assumed rather than taken from a standard. */
enum table_assumed {
	TABLE_ASSUMED_NOSE_HEIGHT = 1u << 0,
	TABLE_ASSUMED_SIGHT_SETBACK = 1u << 1,
	TABLE_ASSUMED_MOUTHS = 1u << 2
};

/* A table and the balls that belong to it. Lengths in metres, masses in kilograms. */
struct table {
	char preset[24];         /* name of the preset, or "custom" */
	double length, width;    /* playing area, nose to nose [m] */
	double nose_height;      /* of the cushion nose above the bed [m] */
	double sight_setback;    /* of the sight marks behind the nose [m]; 0: no marks */
	double corner_mouth;     /* half mouth of a corner pocket, along the rail from the corner [m] */
	double side_mouth;       /* half mouth of a side pocket [m] */
	bool pockets;            /* false: no pocket at all */
	double ball_diameter;    /* object balls [m] */
	double ball_mass;        /* object balls [kg] */
	double cue_ball_diameter, cue_ball_mass; /* equal to the above but for blackball [m], [kg] */
	unsigned assumed;        /* of enum table_assumed */
	bool napped;             /* geometry only until a nap term is fitted (physics.md 7) */
	const char *source;      /* where the numbers come from; static text */
};

/* The presets, in the order they are listed. *count receives their number. */
const struct table *table_presets(size_t *count);

/* The preset of that name, or NULL. */
const struct table *table_find_preset(const char *name, size_t length);

/* A table of length x width [m] with the nose height, setback, mouths and balls of pool-9ft, all
 * marked assumed, preset name "custom". */
struct table table_custom(double length, double width);

/* Diamonds to metres and back, from the head nose (long) and the left nose (short). */
static inline double table_long_to_metres(const struct table *table, double diamonds)
{
	return diamonds * table->length / TABLE_DIAMONDS_LONG;
}
static inline double table_short_to_metres(const struct table *table, double diamonds)
{
	return diamonds * table->width / TABLE_DIAMONDS_SHORT;
}
static inline double table_long_to_diamonds(const struct table *table, double metres)
{
	return metres * TABLE_DIAMONDS_LONG / table->length;
}
static inline double table_short_to_diamonds(const struct table *table, double metres)
{
	return metres * TABLE_DIAMONDS_SHORT / table->width;
}

/* Coordinate, across the rail, of the centre of a ball of that radius [m] that touches the rail:
 * y for head and foot, x for left and right [m]. */
double table_frozen_line(const struct table *table, enum rail rail, double radius);

/* True when a ball that meets the rail with its centre at `along` [m] (the coordinate that runs
 * along that rail) falls: within the half mouth of a corner or, on a long rail, of the side
 * pocket in its middle. Always false on a table without pockets. */
bool table_in_pocket(const struct table *table, enum rail rail, double along);

/* Whether length, width, heights, mouths and balls make a playable table; on failure *why is a
 * static sentence. Accepted: length 1 to 4 m, width 0.5 to 2.5 m and at most length, nose height
 * between the radius and twice the radius (exclusive) of either ball, mouths not overlapping. So
 * that a slip in the unit is seen: diameters 0.02 to 0.1 m, masses 0.02 to 0.5 kg, setback 0 to
 * 0.3 m. */
bool table_is_valid(const struct table *table, const char **why);

#endif
