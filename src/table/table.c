/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table.h"

#include <math.h>
#include <string.h>

/* The half mouth of a pool corner along the rail is 4.5 in / sqrt(2), of a side 5 in / 2. */
#define POOL_MOUTHS .corner_mouth = 0.0808, .side_mouth = 0.0635, .pockets = true
#define POOL_BALLS \
	.ball_diameter = 0.05715, .ball_mass = 0.163, .cue_ball_diameter = 0.05715, \
	.cue_ball_mass = 0.163

static const struct table presets[] = {
	{
		.preset = "pool-9ft",
		.length = 2.540,
		.width = 1.270,
		.nose_height = 0.0363,
		.sight_setback = 0.09366,
		POOL_MOUTHS,
		POOL_BALLS,
		.source = "WPA Tournament Table & Equipment Specifications, Nov 2001: 100 x 50 in, "
		          "nose at 63.5 % of the ball's diameter, sights 3 11/16 in behind "
		          "the nose; ball 2.25 in, the middle of 156 to 170 g; mouths of 4.5 "
		          "and 5 in (values from memory)",
	},
	{
		.preset = "pool-8ft",
		.length = 2.3368,
		.width = 1.1684,
		.nose_height = 0.0363,
		.sight_setback = 0.09366,
		POOL_MOUTHS,
		POOL_BALLS,
		.source = "WPA Tournament Table & Equipment Specifications, Nov 2001: 92 x 46 in, "
		          "the rest as pool-9ft",
	},
	{
		.preset = "pool-7ft",
		.length = 1.9304,
		.width = 0.9652,
		.nose_height = 0.0363,
		.sight_setback = 0.09366,
		POOL_MOUTHS,
		POOL_BALLS,
		.assumed = TABLE_ASSUMED_SIGHT_SETBACK,
		.source = "BCA equipment specification: any surface of 2 to 1, 76 x 38 in being "
		          "the common one; the rest as pool-9ft",
	},
	{
		.preset = "carom-10ft",
		.length = 2.840,
		.width = 1.420,
		.nose_height = 0.0370,
		.sight_setback = 0.09366,
		.ball_diameter = 0.0615,
		.ball_mass = 0.210,
		.cue_ball_diameter = 0.0615,
		.cue_ball_mass = 0.210,
		.assumed = TABLE_ASSUMED_SIGHT_SETBACK,
		.source = "UMB World Rules of Carom (1 Jan 1989), art. 11 and 12: 2.84 x 1.42 m, "
		          "nose at 37 mm, balls of 61.0 to 61.5 mm and 205 to 220 g; the "
		          "setback is that of pool-9ft",
	},
	{
		.preset = "snooker-12ft",
		.length = 3.569,
		.width = 1.778,
		.nose_height = 0.0294,
		.corner_mouth = 0.044,
		.side_mouth = 0.051,
		.pockets = true,
		.ball_diameter = 0.0525,
		.ball_mass = 0.142,
		.cue_ball_diameter = 0.0525,
		.cue_ball_mass = 0.142,
		.assumed = TABLE_ASSUMED_NOSE_HEIGHT | TABLE_ASSUMED_MOUTHS,
		.napped = true,
		.source = "WPBSA Rules of Snooker 1.1 and 1.2: 11 ft 8.5 in x 5 ft 10 in, ball "
		          "52.5 mm; no nose height is given there, 0.56 of the diameter is "
		          "taken; mass from memory",
	},
	{
		.preset = "blackball-7ft",
		.length = 1.829,
		.width = 0.914,
		.nose_height = 0.0310,
		.corner_mouth = 0.042,
		.side_mouth = 0.045,
		.pockets = true,
		.ball_diameter = 0.0508,
		.ball_mass = 0.116,
		.cue_ball_diameter = 0.0476,
		.cue_ball_mass = 0.094,
		.assumed = TABLE_ASSUMED_NOSE_HEIGHT | TABLE_ASSUMED_MOUTHS,
		.napped = true,
		.source = "WEPF specification: balls of 50.8 mm and 116 g, cue ball 47.6 mm and "
		          "94 g, surface of at least 6 x 3 ft; no nose height is given there",
	},
};

const struct table *table_presets(size_t *count)
{
	*count = sizeof presets / sizeof presets[0];
	return presets;
}

const struct table *table_find_preset(const char *name, size_t length)
{
	size_t count;
	const struct table *all = table_presets(&count);

	for (size_t i = 0; i < count; i++) {
		if (strlen(all[i].preset) == length && memcmp(all[i].preset, name, length) == 0)
			return &all[i];
	}
	return NULL;
}

struct table table_custom(double length, double width)
{
	struct table table = presets[0];

	memset(table.preset, 0, sizeof table.preset);
	memcpy(table.preset, "custom", sizeof "custom");
	table.length = length;
	table.width = width;
	table.assumed = TABLE_ASSUMED_NOSE_HEIGHT | TABLE_ASSUMED_SIGHT_SETBACK |
	                TABLE_ASSUMED_MOUTHS;
	table.source = "length and width as stated; the rest as pool-9ft, assumed";
	return table;
}

double table_frozen_line(const struct table *table, enum rail rail, double radius)
{
	switch (rail) {
	case RAIL_FOOT:
		return table->length - radius;
	case RAIL_RIGHT:
		return table->width - radius;
	default:
		return radius;
	}
}

bool table_in_pocket(const struct table *table, enum rail rail, double along)
{
	double end = rail_is_long(rail) ? table->length : table->width;

	if (!table->pockets)
		return false;
	if (along < table->corner_mouth || end - along < table->corner_mouth)
		return true;
	return rail_is_long(rail) && fabs(along - 0.5 * end) < table->side_mouth;
}

/* False for a value that is not a number, too. */
static bool lies_in(double value, double lowest, double highest)
{
	return value >= lowest && value <= highest;
}

static bool nose_fits(const struct table *table, double diameter)
{
	return table->nose_height > 0.5 * diameter && table->nose_height < diameter;
}

static bool mouths_fit(const struct table *table)
{
	double corner = table->corner_mouth, side = table->side_mouth;

	if (!table->pockets)
		return true;
	return corner >= 0.0 && side >= 0.0 && 2.0 * corner < table->width &&
	       corner + side < 0.5 * table->length;
}

bool table_is_valid(const struct table *table, const char **why)
{
	if (!lies_in(table->length, 1.0, 4.0))
		*why = "the playing length must be from 1 to 4 m";
	else if (!lies_in(table->width, 0.5, 2.5))
		*why = "the playing width must be from 0.5 to 2.5 m";
	else if (table->width > table->length)
		*why = "the playing width must not be greater than the length";
	else if (!lies_in(table->ball_diameter, 0.02, 0.1) ||
	         !lies_in(table->cue_ball_diameter, 0.02, 0.1))
		*why = "the diameter of a ball must be from 0.02 to 0.1 m";
	else if (!lies_in(table->ball_mass, 0.02, 0.5) ||
	         !lies_in(table->cue_ball_mass, 0.02, 0.5))
		*why = "the mass of a ball must be from 0.02 to 0.5 kg";
	else if (!nose_fits(table, table->ball_diameter) ||
	         !nose_fits(table, table->cue_ball_diameter))
		*why = "the nose height must be more than the radius and less than the diameter of "
		       "every ball";
	else if (!lies_in(table->sight_setback, 0.0, 0.3))
		*why = "the sight setback must be from 0 to 0.3 m";
	else if (!mouths_fit(table))
		*why = "the half mouths of the pockets must not be negative and must not overlap";
	else
		return true;
	return false;
}
