/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/guide_goal.h"

#include <string.h>

#include "base/number.h"

#define NAME_LIMIT 40

/* Finds a constant by its name, in which blanks stand for underscores. */
static bool find_constant(const char *name, size_t length, enum constant_id *id)
{
	char underscored[NAME_LIMIT];

	if (length >= sizeof underscored)
		return false;
	for (size_t i = 0; i < length; i++)
		underscored[i] = name[i] == ' ' || name[i] == '-' ? '_' : name[i];
	return constant_from_name(underscored, length, id);
}

bool guide_goal_read(const char *text, struct guide_goal *goal, const char **accepted)
{
	size_t name = strcspn(text, "="), length;
	const char *number = text + name + (text[name] == '=');
	enum constant_id id;
	double percent;

	*accepted =
	    "CONSTANT=PERCENT, e.g. sliding_friction=5%; the constants are sliding_friction, "
	    "rolling_resistance, spin_friction, cushion_restitution, cushion_friction, "
	    "ball_restitution and ball_friction; above 0 to 100 %";
	if (text[name] != '=' || !find_constant(text, name, &id))
		return false;
	length = strcspn(number, "% ");
	if (strspn(number + length, "% ") != strlen(number + length) ||
	    !number_read_plain(number, length, '.', &percent) || !(percent > 0.0) ||
	    percent > 100.0)
		return false;
	goal->stated = true;
	goal->wanted[id] = percent / 100.0;
	return true;
}

bool guide_goal_wants(const struct guide_goal *goal, enum constant_id id)
{
	return !goal->stated || goal->wanted[id] > 0.0;
}

double guide_goal_error(const struct estimate *estimate)
{
	const struct interval *interval =
	    estimate->has_posterior ? &estimate->posterior : &estimate->best;

	if (!estimate->has_interval || !(interval->value > 0.0))
		return -1.0;
	return interval->standard_error / interval->value;
}

bool guide_goal_is_met(const struct guide_goal *goal, const struct fit_result *result,
                       enum constant_id id)
{
	const struct estimate *estimate = &result->constants[id];
	double error = guide_goal_error(estimate);

	if (!guide_goal_wants(goal, id) || estimate->state == KNOWLEDGE_HELD)
		return true;
	if (estimate->state == KNOWLEDGE_NOT_DETERMINED)
		return false;
	if (!goal->stated)
		return estimate->state != KNOWLEDGE_WEAK;
	return error >= 0.0 && error <= goal->wanted[id];
}

bool guide_goal_is_reached(const struct guide_goal *goal, const struct fit_result *result)
{
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (!guide_goal_is_met(goal, result, (enum constant_id)id))
			return false;
	return true;
}
