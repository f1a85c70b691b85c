/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "place" of a shot: formats.md 4. */
#include <string.h>

#include "files/protocol_read.h"
#include "table/notation.h"
#include "table/table.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static const char *const ball_words[BALL_ROLES] = {"cue", "object", "object2"};
static const char *const point_keys[] = {"long", "short"};
static const char *const lying_keys[] = {"long", "short", "diameter_m", "mass_kg"};
static const char *const touching_keys[] = {"touching", "toward", "diameter_m", "mass_kg"};

bool protocol_read_point(struct json_reader *reader, const struct json_node *node, double *along,
                         double *across)
{
	static const struct json_rule along_rule = {"long", JSON_REQUIRED, 0, TABLE_DIAMONDS_LONG,
	                                            false};
	static const struct json_rule across_rule = {"short", JSON_REQUIRED, 0,
	                                             TABLE_DIAMONDS_SHORT, false};
	if (!json_read_object(reader, node, point_keys, COUNT_OF(point_keys)))
		return false;
	bool good = json_read_number(reader, node, &along_rule, along);
	return json_read_number(reader, node, &across_rule, across) && good;
}

bool protocol_read_ball(struct json_reader *reader, const struct json_node *object, const char *key,
                        const struct shot_design *shot, enum ball_role *ball)
{
	size_t index;
	if (!json_read_word(reader, object, key, ball_words, BALL_ROLES, &index))
		return false;
	if (!shot->place[index].present) {
		json_read_refuse(reader, json_tree_member(object, key),
		                 "a ball that the shot places",
		                 "add the ball to \"place\" or name another");
		return false;
	}
	*ball = (enum ball_role)index;
	return true;
}

/* A text in place of a number: `f head` and its like. The preset does not matter, only the rail
 * is taken from the reading. */
static void read_frozen(struct json_reader *reader, const struct json_node *node, bool along,
                        struct place_coordinate *out)
{
	static const struct notation_style style = {.decimal_comma = false, .diamond_value = 1};
	size_t preset_count;
	const struct table *table = table_presets(&preset_count);
	struct notation notation;
	struct notation_refusal refusal = {0};
	bool read = notation_read(node->text, strlen(node->text),
	                          along ? NOTATION_PLACE_LONG : NOTATION_PLACE_SHORT, &style, table,
	                          table->ball_diameter / 2, RAIL_COUNT, &notation, &refusal);
	if (read && notation.kind == NOTATION_FROZEN) {
		out->frozen = true;
		out->rail = notation.rail;
		return;
	}
	const char *accepted = along ? "a number from 0 to 8, \"f head\" or \"f foot\""
	                             : "a number from 0 to 4, \"f left\" or \"f right\"";
	json_read_refuse(reader, node, accepted,
	                 read ? "write a number of diamonds without quotes" : refusal.next);
}

static void read_coordinate(struct json_reader *reader, const struct json_node *object, bool along,
                            struct place_coordinate *out)
{
	struct json_rule rule = {.key = along ? "long" : "short",
	                         .presence = JSON_REQUIRED,
	                         .lowest = 0,
	                         .highest = along ? TABLE_DIAMONDS_LONG : TABLE_DIAMONDS_SHORT};
	const struct json_node *member = json_tree_member(object, rule.key);
	if (member != NULL && member->kind == JSON_STRING)
		read_frozen(reader, member, along, out);
	else
		json_read_number(reader, object, &rule, &out->diamonds);
}

/* What ball it is, where the design says so. */
static void read_body(struct json_reader *reader, const struct json_node *node,
                      struct placement *placement)
{
	static const struct json_rule diameter = {"diameter_m", JSON_OPTIONAL, 0.02, 0.1, false};
	static const struct json_rule mass = {"mass_kg", JSON_OPTIONAL, 0.02, 0.5, false};
	json_read_number(reader, node, &diameter, &placement->diameter);
	json_read_number(reader, node, &mass, &placement->mass);
}

/* Reads one ball; whom it touches is read later, when it is known which balls are placed. */
static void read_placement(struct json_reader *reader, const struct json_node *node,
                           struct placement *placement)
{
	placement->present = true;
	if (node->kind == JSON_OBJECT && json_tree_member(node, "touching") != NULL) {
		placement->touching = true;
		json_read_object(reader, node, touching_keys, COUNT_OF(touching_keys));
		read_body(reader, node, placement);
		const struct json_node *toward = json_read_member(
		    reader, node, "toward", JSON_REQUIRED, "an object with the keys long, short");
		if (toward != NULL)
			protocol_read_point(reader, toward, &placement->toward_long,
			                    &placement->toward_short);
		return;
	}
	if (!json_read_object(reader, node, lying_keys, COUNT_OF(lying_keys)))
		return;
	read_body(reader, node, placement);
	read_coordinate(reader, node, true, &placement->along);
	read_coordinate(reader, node, false, &placement->across);
}

/* The line of centres needs two different points. */
static void check_toward(struct json_reader *reader, const struct json_node *node,
                         const struct placement *placement, const struct placement *touched)
{
	if (touched->touching || touched->along.frozen || touched->across.frozen)
		return;
	if (placement->toward_long == touched->along.diamonds &&
	    placement->toward_short == touched->across.diamonds)
		json_read_refuse_found(reader, node, "the centre of the touched ball itself",
		                       "a point away from the touched ball",
		                       "give the point that the line of centres runs to");
}

static bool read_touched(struct json_reader *reader, const struct json_node *place,
                         struct shot_design *shot)
{
	bool good = true;
	for (size_t role = 0; role < BALL_ROLES; role++) {
		struct placement *placement = &shot->place[role];
		if (!placement->present || !placement->touching)
			continue;
		const struct json_node *node = json_tree_member(place, ball_words[role]);
		if (!protocol_read_ball(reader, node, "touching", shot, &placement->touched)) {
			good = false;
			continue;
		}
		const struct json_node *toward = json_tree_member(node, "toward");
		if (toward != NULL)
			check_toward(reader, toward, placement, &shot->place[placement->touched]);
	}
	return good;
}

/* A ball that touches a ball that touches ... must end at one with a place of its own. */
static void check_cycles(struct json_reader *reader, const struct json_node *place,
                         const struct shot_design *shot)
{
	for (size_t role = 0; role < BALL_ROLES; role++) {
		size_t at = role, steps = 0;
		while (shot->place[at].touching && steps <= BALL_ROLES) {
			at = shot->place[at].touched;
			steps++;
		}
		if (steps <= BALL_ROLES)
			continue;
		const struct json_node *node = json_tree_member(place, ball_words[role]);
		json_read_refuse(reader, json_tree_member(node, "touching"),
		                 "a chain of touching balls that ends at one with \"long\" and "
		                 "\"short\"",
		                 "give one ball of the circle its own position");
		return;
	}
}

void protocol_read_place(struct json_reader *reader, const struct json_node *node,
                         struct shot_design *shot)
{
	shot->place[BALL_CUE].present = true;
	if (!json_read_object(reader, node, ball_words, BALL_ROLES)) {
		for (size_t role = 0; role < BALL_ROLES;
		     role++) /* so that no later part is blamed, too */
			shot->place[role].present = true;
		return;
	}
	json_read_member(reader, node, "cue", JSON_REQUIRED, "where the cue ball lies");
	for (size_t role = 0; role < BALL_ROLES; role++) {
		const struct json_node *ball = json_tree_member(node, ball_words[role]);
		if (ball != NULL)
			read_placement(reader, ball, &shot->place[role]);
	}
	if (read_touched(reader, node, shot))
		check_cycles(reader, node, shot);
}
