/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "aim" and "launch" of a shot: formats.md 4. */
#include <math.h>
#include <string.h>

#include "files/protocol_read.h"
#include "table/table.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static const char *const rail_words[RAIL_COUNT] = {"head", "foot", "left", "right"};

static void read_rail_point(struct json_reader *reader, const struct json_node *node,
                            struct aim *aim)
{
	static const char *const keys[] = {"rail", "at"};
	size_t rail;
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	bool known = json_read_word(reader, node, "rail", rail_words, RAIL_COUNT, &rail);
	if (known)
		aim->rail = (enum rail)rail;
	bool across = known && !rail_is_long(aim->rail);
	struct json_rule rule = {"at", JSON_REQUIRED, 0,
	                         across ? TABLE_DIAMONDS_SHORT : TABLE_DIAMONDS_LONG, false};
	json_read_number(reader, node, &rule, &aim->at);
}

static void read_aim_point(struct json_reader *reader, const struct json_node *node,
                           struct shot_design *shot)
{
	const struct placement *cue = &shot->place[BALL_CUE];
	struct aim *aim = &shot->aim;
	if (!protocol_read_point(reader, node, &aim->point_long, &aim->point_short))
		return;
	bool known = !cue->touching && !cue->along.frozen && !cue->across.frozen;
	if (known && aim->point_long == cue->along.diamonds &&
	    aim->point_short == cue->across.diamonds)
		json_read_refuse_found(reader, node, "the cue ball's own place",
		                       "a point away from the cue ball",
		                       "give the point that the shot is aimed at");
}

static void read_aim_ball(struct json_reader *reader, const struct json_node *node,
                          struct shot_design *shot)
{
	static const char *const keys[] = {"ball", "fullness", "contact"};
	static const char *const sides[] = {"left", "right"};
	static const struct json_rule fullness = {"fullness", JSON_REQUIRED, 0, 1, true};
	struct aim *aim = &shot->aim;
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	if (protocol_read_ball(reader, node, "ball", shot, &aim->ball) && aim->ball == BALL_CUE)
		json_read_refuse(reader, json_tree_member(node, "ball"), "object, object2",
		                 "name the ball that the cue ball shall hit");
	bool known = json_read_number(reader, node, &fullness, &aim->fullness);
	bool given = json_tree_member(node, "contact") != NULL;
	size_t side;
	if ((given || (known && aim->fullness < 1)) &&
	    json_read_word(reader, node, "contact", sides, COUNT_OF(sides), &side))
		aim->contact = side == 0 ? AIM_SIDE_LEFT : AIM_SIDE_RIGHT;
}

/* The one member that says what is aimed at, or NULL with a fault. */
static const struct json_node *find_target(struct json_reader *reader, const struct json_node *node,
                                           enum aim_kind *kind)
{
	static const char *const targets[] = {"nose", "sight", "point", "ball"};
	const struct json_node *found = NULL;
	size_t count = 0;
	for (size_t i = 0; i < COUNT_OF(targets); i++) {
		const struct json_node *member = json_tree_member(node, targets[i]);
		if (member == NULL)
			continue;
		found = member;
		*kind = (enum aim_kind)i;
		count++;
	}
	if (count == 1)
		return found;
	json_read_refuse_found(reader, node, count == 0 ? "no target" : "more than one target",
	                       "one of nose, sight, point, ball",
	                       count == 0 ? "add what is aimed at" : "keep one of them");
	return NULL;
}

void protocol_read_aim(struct json_reader *reader, const struct json_node *node,
                       struct shot_design *shot)
{
	static const char *const keys[] = {"nose", "sight", "point", "ball", "spread_deg"};
	static const struct json_rule spread = {"spread_deg", JSON_OPTIONAL, 0, 30, false};
	struct aim *aim = &shot->aim;
	aim->spread_deg = AIM_DEFAULT_SPREAD_DEG;
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	json_read_number(reader, node, &spread, &aim->spread_deg);
	const struct json_node *target = find_target(reader, node, &aim->kind);
	if (target == NULL)
		return;
	if (aim->kind == AIM_POINT)
		read_aim_point(reader, target, shot);
	else if (aim->kind == AIM_BALL)
		read_aim_ball(reader, target, shot);
	else
		read_rail_point(reader, target, aim);
}

static void read_launch_cue(struct json_reader *reader, const struct json_node *node,
                            struct launch *launch)
{
	static const char *const keys[] = {"by",          "speed_m_s",     "speed_spread",
	                                   "height",      "height_spread", "side",
	                                   "side_spread", "elevation_deg"};
	static const struct json_rule speed = {"speed_m_s", JSON_REQUIRED, 0, 15, true};
	static const struct json_rule speed_spread = {"speed_spread", JSON_REQUIRED, 0, 3, false};
	static const struct json_rule height = {"height", JSON_REQUIRED, -STROKE_OFFSET_DESIGNED,
	                                        STROKE_OFFSET_DESIGNED, false};
	static const struct json_rule height_spread = {"height_spread", JSON_REQUIRED, 0, 0.5,
	                                               false};
	static const struct json_rule side = {"side", JSON_REQUIRED, -STROKE_OFFSET_DESIGNED,
	                                      STROKE_OFFSET_DESIGNED, false};
	static const struct json_rule side_spread = {"side_spread", JSON_REQUIRED, 0, 0.5, false};
	static const struct json_rule elevation = {"elevation_deg", JSON_OPTIONAL, 0, 80, false};
	json_read_object(reader, node, keys, COUNT_OF(keys));
	json_read_number(reader, node, &speed, &launch->speed);
	json_read_number(reader, node, &speed_spread, &launch->speed_spread);
	bool good = json_read_number(reader, node, &height, &launch->height);
	json_read_number(reader, node, &height_spread, &launch->height_spread);
	good = json_read_number(reader, node, &side, &launch->side) && good;
	json_read_number(reader, node, &side_spread, &launch->side_spread);
	json_read_number(reader, node, &elevation, &launch->elevation_deg);
	/* 1e-12: 0.3 and 0.4 make 0.5, whatever their last bits say. */
	if (good && hypot(launch->height, launch->side) > STROKE_OFFSET_DESIGNED + 1e-12)
		json_read_refuse_found(
		    reader, node,
		    arena_format(reader->scratch,
		                 "height %g and side %g, %.3g of "
		                 "the radius off the centre",
		                 launch->height, launch->side, hypot(launch->height, launch->side)),
		    "at most 0.5 of the radius together (beyond it the tip slips)",
		    "lower height or side");
}

static void read_launch_ramp(struct json_reader *reader, const struct json_node *node,
                             struct launch *launch)
{
	static const char *const keys[] = {"by",           "ramp",         "speed_m_s",
	                                   "group_spread", "speed_spread", "groove_deg"};
	static const struct json_rule speed = {"speed_m_s", JSON_REQUIRED, 0, 15, true};
	static const struct json_rule group = {"group_spread", JSON_OPTIONAL, 0, 3, false};
	static const struct json_rule spread = {"speed_spread", JSON_OPTIONAL, 0, 3, false};
	static const struct json_rule groove = {"groove_deg", JSON_OPTIONAL, 10, 180, false};
	launch->by_ramp = true;
	launch->group_spread = RAMP_DEFAULT_GROUP_SPREAD;
	launch->speed_spread = RAMP_DEFAULT_SPEED_SPREAD;
	launch->groove_deg = RAMP_DEFAULT_GROOVE_DEG;
	json_read_object(reader, node, keys, COUNT_OF(keys));
	json_read_text(reader, node, "ramp", JSON_REQUIRED, false, &launch->ramp);
	json_read_number(reader, node, &speed, &launch->speed);
	json_read_number(reader, node, &group, &launch->group_spread);
	json_read_number(reader, node, &spread, &launch->speed_spread);
	json_read_number(reader, node, &groove, &launch->groove_deg);
}

void protocol_read_launch(struct json_reader *reader, const struct json_node *node,
                          struct shot_design *shot)
{
	static const char *const ways[] = {"cue", "ramp"};
	size_t way;
	if (node->kind != JSON_OBJECT) {
		json_read_refuse(reader, node, "an object { }",
		                 "write an object in curly brackets");
		return;
	}
	if (!json_read_word(reader, node, "by", ways, COUNT_OF(ways), &way))
		return;
	if (way == 0)
		read_launch_cue(reader, node, &shot->launch);
	else
		read_launch_ramp(reader, node, &shot->launch);
}
