/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "watch" and "measure" of a shot: formats.md 4. */
#include <string.h>

#include "files/protocol_read.h"
#include "files/utf8.h"
#include "files/words.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static bool is_placed(const struct shot_design *shot, enum ball_role ball)
{
	return shot->place[ball].present;
}

/* Whether the balls that the shot places can have this moment. */
static bool moment_can_happen(const struct shot_design *shot, struct moment moment)
{
	if (moment.kind == MOMENT_STRIKE)
		return true;
	if (moment.kind == MOMENT_CONTACT)
		return is_placed(shot, BALL_OBJECT) || is_placed(shot, BALL_OBJECT2);
	return is_placed(shot, moment.ball);
}

static void refuse_event(struct json_reader *reader, const struct json_node *node)
{
	static const char *const events[] = {
	    "strike",        "cue_rail1",     "cue_rail2",     "cue_rail3",    "cue_rail4",
	    "object_rail1",  "object_rail2",  "object_rail3",  "object_rail4", "object2_rail1",
	    "object2_rail2", "object2_rail3", "object2_rail4", "contact1",     "contact2",
	    "cue_rest",      "object_rest",   "object2_rest",  "cue_still",    "object_still",
	    "object2_still"};
	const char *advice = "write an event in double quotes";
	if (node->kind == JSON_STRING)
		advice = words_advice(reader->scratch, node->text, events, COUNT_OF(events),
		                      "write one of these events");
	json_read_refuse(
	    reader, node,
	    "strike, cue_rail1 to cue_rail4, cue_rest, cue_still (the same with object_ "
	    "and object2_), contact1, contact2",
	    advice);
}

static bool read_moment(struct json_reader *reader, const struct json_node *object, const char *key,
                        const struct shot_design *shot, struct moment *out)
{
	const struct json_node *member =
	    json_read_member(reader, object, key, JSON_REQUIRED, "an event");
	if (member == NULL)
		return false;
	if (member->kind != JSON_STRING ||
	    !moment_from_name(member->text, strlen(member->text), out)) {
		refuse_event(reader, member);
		return false;
	}
	if (!moment_can_happen(shot, *out)) {
		json_read_refuse(reader, member, "an event of the balls that the shot places",
		                 "add the ball to \"place\" or name another event");
		return false;
	}
	return true;
}

/* Rank of a moment among those of the same ball, in the order in which they come. */
static int moment_rank(struct moment moment)
{
	switch (moment.kind) {
	case MOMENT_STRIKE:
		return 0;
	case MOMENT_REST:
		return 100;
	case MOMENT_STILL:
		return 101;
	default:
		return moment.number;
	}
}

/* Whether `to` is known to come after `from`, or their order depends on the stroke. */
static bool is_forward(struct moment from, struct moment to)
{
	if (to.kind == MOMENT_STRIKE)
		return false;
	if (from.kind == MOMENT_STRIKE)
		return true;
	if ((from.kind == MOMENT_CONTACT) != (to.kind == MOMENT_CONTACT))
		return true;
	if (from.kind != MOMENT_CONTACT && from.ball != to.ball)
		return true;
	return moment_rank(from) < moment_rank(to);
}

void protocol_read_watch(struct json_reader *reader, const struct json_node *node,
                         struct shot_design *shot)
{
	static const char *const keys[] = {"from", "to"};
	if (!json_read_array(reader, node, 0, WATCH_READINGS)) {
		shot->watch_count = WATCH_READINGS; /* so that "measure" is not blamed, too */
		return;
	}
	for (const struct json_node *item = node->first; item != NULL; item = item->next) {
		struct watch_interval *interval = &shot->watch[shot->watch_count++];
		if (!json_read_object(reader, item, keys, COUNT_OF(keys)))
			continue;
		bool from = read_moment(reader, item, "from", shot, &interval->from);
		bool to = read_moment(reader, item, "to", shot, &interval->to);
		if (from && to && !is_forward(interval->from, interval->to))
			json_read_refuse(reader, json_tree_member(item, "to"),
			                 "an event after the one in \"from\"",
			                 "name the earlier event first");
	}
}

/* Why a quantity cannot be read in this shot; NULL when it can. */
static const char *reason_against(const struct shot_design *shot, struct quantity quantity)
{
	switch (quantity.kind) {
	case QUANTITY_WATCH:
		return quantity.number > shot->watch_count ? "an interval that \"watch\" lists"
		                                           : NULL;
	case QUANTITY_SOUND:
		return shot->launch.by_ramp && quantity.number == 1
		           ? "sound2 to sound8 (a ramp is silent: its first sound is the start)"
		           : NULL;
	default:
		return is_placed(shot, quantity.ball) ? NULL
		                                      : "a quantity of a ball that is placed";
	}
}

static void refuse_quantity(struct json_reader *reader, const struct json_node *node)
{
	const char *names[QUANTITY_COUNT];
	const char *advice = "write a quantity in double quotes";
	for (int i = 0; i < QUANTITY_COUNT; i++)
		names[i] = quantity_name(i);
	if (node->kind == JSON_STRING)
		advice = words_advice(reader->scratch, node->text, names, QUANTITY_COUNT,
		                      "write one of these quantities");
	json_read_refuse(reader, node,
	                 "cue_rest_long, cue_rest_short, cue_rail1 to cue_rail4 (the same with "
	                 "object_ and object2_), watch1, watch2, sound1 to sound8",
	                 advice);
}

void protocol_read_measure(struct json_reader *reader, const struct json_node *node,
                           struct shot_design *shot)
{
	if (!json_read_array(reader, node, 1, QUANTITY_COUNT))
		return;
	for (const struct json_node *item = node->first; item != NULL; item = item->next) {
		int number;
		if (item->kind != JSON_STRING ||
		    !quantity_from_name(item->text, strlen(item->text), &number)) {
			refuse_quantity(reader, item);
			continue;
		}
		const char *accepted = reason_against(shot, quantity_at(number));
		uint32_t bit = (uint32_t)1 << number;
		if (accepted != NULL)
			json_read_refuse(reader, item, accepted, "remove it or mend the shot");
		else if ((shot->measure & bit) != 0)
			json_read_refuse(reader, item, "each quantity once",
			                 "remove one of the two");
		shot->measure |= bit;
	}
}
