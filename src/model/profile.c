/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/profile.h"

#include <math.h>

#include <string.h>

static const char *const knowledge_names[KNOWLEDGE_COUNT] = {
	[KNOWLEDGE_HELD] = "held",
	[KNOWLEDGE_AT_LIMIT] = "at-limit",
	[KNOWLEDGE_NOT_DETERMINED] = "not-determined",
	[KNOWLEDGE_WEAK] = "weak",
	[KNOWLEDGE_DETERMINED] = "determined",
};

static const char *const condition_names[CONDITION_COUNT] = {
	[ONE_LENGTH_TIME_S] = "one_length_time_s",
	[STUN_SLIDE_DIAMONDS] = "stun_slide_diamonds",
	[SQUARE_RAIL_SPEED_KEPT_PERCENT] = "square_rail_speed_kept_percent",
	[FULL_SIDE_RETURN_DIAMONDS] = "full_side_return_diamonds",
	[HALF_BALL_THROW_DEG] = "half_ball_throw_deg",
	[FULL_SIDE_LASTS_S] = "full_side_lasts_s",
};

/* The index of a name in a list, or count. */
static unsigned find(const char *const *names, unsigned count, const char *name, size_t length)
{
	unsigned i = 0;

	while (i < count && (strlen(names[i]) != length || memcmp(names[i], name, length) != 0))
		i++;
	return i;
}

const char *knowledge_name(enum knowledge knowledge)
{
	return knowledge_names[knowledge];
}

bool knowledge_from_name(const char *name, size_t length, enum knowledge *knowledge)
{
	unsigned index = find(knowledge_names, KNOWLEDGE_COUNT, name, length);

	if (index == KNOWLEDGE_COUNT)
		return false;
	*knowledge = (enum knowledge)index;
	return true;
}

const char *condition_name(enum condition_id id)
{
	return condition_names[id];
}

bool condition_from_name(const char *name, size_t length, enum condition_id *id)
{
	unsigned index = find(condition_names, CONDITION_COUNT, name, length);

	if (index == CONDITION_COUNT)
		return false;
	*id = (enum condition_id)index;
	return true;
}

bool profile_slope_points(const struct estimate *steepness)
{
	if (steepness->state == KNOWLEDGE_NOT_DETERMINED)
		return false;
	return steepness->has_interval ? steepness->best.low95 > 0.0 : steepness->best.value > 0.0;
}

bool profile_factor_stands_out(const struct estimate *factor)
{
	return factor->state != KNOWLEDGE_NOT_DETERMINED && factor->has_interval &&
	       fabs(factor->best.value - 1.0) > 3.0 * factor->best.standard_error;
}

const char *player_spread_name(enum player_spread spread)
{
	static const char *const names[PLAYER_SPREADS] = {"speed_spread", "aim_spread_deg",
	                                                  "height_spread", "side_spread"};

	return names[spread];
}

const char *player_offset_name(enum player_offset offset)
{
	static const char *const names[PLAYER_OFFSETS] = {"speed_factor", "height_offset",
	                                                  "side_offset"};

	return names[offset];
}

void profile_free(struct profile *profile)
{
	arena_free(profile->arena);
	*profile = (struct profile){0};
}

struct constants profile_constants(const struct profile *profile)
{
	struct constants constants = {.terms = {0.0}};

	for (int i = 0; i < CONSTANT_COUNT; i++)
		constants.value[i] = profile->constants[i].best.value;
	if (profile->has_slope) {
		constants.terms.slope_long = profile->slope.along.best.value;
		constants.terms.slope_short = profile->slope.across.best.value;
	}
	if (profile->has_nap)
		constants.terms.nap_long = profile->nap.best.value;
	if (profile->has_liveliness_fall)
		constants.terms.liveliness_fall = profile->liveliness_fall.best.value;
	return constants;
}
