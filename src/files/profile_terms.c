/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The optional terms of the model in files: "slope" and "liveliness_with_speed" of a profile
 * (formats.md 5), and what a profile and a file of plain constants refuse alike. */
#include <math.h>

#include "files/profile_read.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* Both slopes at their limit, 0.05, make 70.8 mm on a metre. */
#define STEEPNESS_HIGHEST 71

void profile_refuse_steep(struct json_reader *reader, const struct json_node *node,
                          const struct constants *constants)
{
	double slope = hypot(constants->terms.slope_long, constants->terms.slope_short);
	const char *found =
	    arena_format(reader->scratch, "a slope of %.6g in all beside rolling_resistance %.6g",
	                 slope, constants->value[ROLLING_RESISTANCE]);
	const char *accepted = arena_format(
	    reader->scratch,
	    "a slope below %.6g, 7/5 of rolling_resistance, for on a steeper table a rolling ball "
	    "never stops (in all: root of slope_long squared plus slope_short squared)",
	    constants_slope_limit(constants));
	json_read_refuse_found(reader, node, found, accepted,
	                       "correct the slope (rise per run: 0.001 is 1 mm on a metre) or "
	                       "rolling_resistance");
}

void profile_refuse_nap(struct json_reader *reader, const struct json_node *node,
                        const struct constants *constants)
{
	const char *found = arena_format(reader->scratch, "a push of %.6g beside rolling_resistance %.6g",
	                                 constants->terms.nap_long,
	                                 constants->value[ROLLING_RESISTANCE]);
	const char *accepted = arena_format(
	    reader->scratch,
	    "a push between -%.6g and %.6g, for with a stronger one a rolling ball never stops",
	    constants->value[ROLLING_RESISTANCE], constants->value[ROLLING_RESISTANCE]);
	json_read_refuse_found(reader, node, found, accepted,
	                       "correct the push of the nap or rolling_resistance");
}

static bool read_term(struct json_reader *reader, const struct json_node *object, const char *key,
                      double lowest, double highest, struct estimate *out)
{
	struct estimate_rule rule = {.lowest = lowest, .highest = highest, .learned = true};
	const struct json_node *member =
	    json_read_member(reader, object, key, JSON_REQUIRED, "an object with the key value");
	size_t before = reader->faults->count;
	if (member == NULL)
		return false;
	profile_read_estimate(reader, member, &rule, out);
	return reader->faults->count == before;
}

static void read_slope_along(struct json_reader *reader, const struct json_node *object,
                             enum constant_term term, struct estimate *out)
{
	const struct constant_term_rule *rule = constant_term_rule(term);
	read_term(reader, object, rule->name, rule->lowest, rule->highest, out);
}

/* A direction stands there when the steepness has one, and else not; where the steepness could not
 * be read, either way. */
static void read_direction(struct json_reader *reader, const struct json_node *node,
                           bool steepness_read, struct profile_slope *slope)
{
	const struct json_node *direction = json_tree_member(node, "direction_deg");
	slope->has_direction =
	    steepness_read ? profile_slope_points(&slope->steepness) : direction != NULL;
	if (slope->has_direction)
		read_term(reader, node, "direction_deg", 0, 360, &slope->direction);
	else if (direction != NULL)
		json_read_refuse(reader, direction,
		                 "no direction while mm_per_m is not determined or its interval "
		                 "holds 0",
		                 "remove the key");
}

/* The steeper of the two slopes is the one that is blamed. */
static void check_slope(struct json_reader *reader, const struct json_node *node,
                        const struct profile *profile)
{
	struct constants constants = profile_constants(profile);
	bool along = fabs(constants.terms.slope_long) >= fabs(constants.terms.slope_short);
	const struct json_node *steeper =
	    json_tree_member(node, along ? "slope_long" : "slope_short");
	if (!constants_ball_stops(&constants))
		profile_refuse_steep(reader, json_tree_member(steeper, "value"), &constants);
}

static void read_slope(struct json_reader *reader, const struct json_node *node,
                       struct profile *profile)
{
	static const char *const keys[] = {"slope_long", "slope_short", "mm_per_m",
	                                   "direction_deg"};
	struct profile_slope *slope = &profile->slope;
	size_t before = reader->faults->count;
	profile->has_slope = true;
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	read_slope_along(reader, node, TERM_SLOPE_LONG, &slope->along);
	read_slope_along(reader, node, TERM_SLOPE_SHORT, &slope->across);
	bool steepness_read =
	    read_term(reader, node, "mm_per_m", 0, STEEPNESS_HIGHEST, &slope->steepness);
	read_direction(reader, node, steepness_read, slope);
	bool rolling = profile->constants[ROLLING_RESISTANCE].best.value > 0;
	if (rolling && reader->faults->count == before)
		check_slope(reader, node, profile);
}

/* A nap that pushes harder than the cloth resists would keep a ball rolling. */
static void read_nap(struct json_reader *reader, const struct json_node *node,
                     struct profile *profile)
{
	static const char *const keys[] = {"nap_long"};
	const struct constant_term_rule *rule = constant_term_rule(TERM_NAP_LONG);
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	profile->has_nap = read_term(reader, node, rule->name, rule->lowest, rule->highest,
	                             &profile->nap);
	if (profile->has_nap && profile->constants[ROLLING_RESISTANCE].best.value > 0) {
		struct constants constants = profile_constants(profile);
		constants.terms.slope_long = constants.terms.slope_short = 0;
		if (!constants_ball_stops(&constants))
			profile_refuse_nap(reader,
			                   json_tree_member(json_tree_member(node, rule->name),
			                                    "value"),
			                   &constants);
	}
}

void profile_read_terms(struct json_reader *reader, const struct json_node *root,
                        struct profile *profile)
{
	const struct constant_term_rule *fall = constant_term_rule(TERM_LIVELINESS_FALL);
	const struct json_node *slope = json_tree_member(root, "slope");
	const struct json_node *nap = json_tree_member(root, "nap");
	if (slope != NULL)
		read_slope(reader, slope, profile);
	if (nap != NULL)
		read_nap(reader, nap, profile);
	profile->has_liveliness_fall = json_tree_member(root, fall->name) != NULL;
	if (profile->has_liveliness_fall)
		read_term(reader, root, fall->name, fall->lowest, fall->highest,
		          &profile->liveliness_fall);
}
