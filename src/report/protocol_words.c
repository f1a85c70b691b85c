/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/protocol_words.h"

#include <string.h>

#include "report/format_value.h"

/* A number between fixed words. */
static void add_number(struct text *out, const char *before, double number, const char *after)
{
	char shown[NUMBER_SIZE];

	format_plain(number, shown);
	text_print(out, "%s%s%s", before, shown, after);
}

void protocol_words_amount(double number, const char *unit, struct text *out)
{
	char shown[NUMBER_SIZE];

	format_plain(number, shown);
	text_print(out, "%s %s%s", shown, unit, strcmp(shown, "1") == 0 ? "" : "s");
}

const char *protocol_words_ordinal(int number)
{
	static const char *const words[] = {"1st", "2nd", "3rd", "4th", "5th", "6th", "7th", "8th"};

	return number >= 1 && number <= 8 ? words[number - 1] : "next";
}

const char *protocol_words_ball(enum ball_role role)
{
	static const char *const words[BALL_ROLES] = {
		[BALL_CUE] = "cue ball",
		[BALL_OBJECT] = "object ball",
		[BALL_OBJECT2] = "second object ball",
	};

	return words[role];
}

static void add_coordinate(const char *name, const struct place_coordinate *coordinate,
                           struct text *out)
{
	if (coordinate->frozen)
		text_print(out, "frozen to the %s rail", rail_name(coordinate->rail));
	else {
		text_print(out, "%s ", name);
		add_number(out, "", coordinate->diamonds, "");
	}
}

void protocol_words_place(const struct placement *placement, struct text *out)
{
	if (placement->touching) {
		text_print(out, "touching the %s, on the line from its centre",
		           protocol_words_ball(placement->touched));
		add_number(out, " to the point long ", placement->toward_long, "");
		add_number(out, ", short ", placement->toward_short, "");
	} else {
		add_coordinate("long", &placement->along, out);
		text_add(out, ", ");
		add_coordinate("short", &placement->across, out);
	}
	if (placement->diameter > 0 || placement->mass > 0)
		text_add(out, "; a ball of");
	if (placement->diameter > 0)
		add_number(out, " ", placement->diameter * 1000, " mm");
	if (placement->mass > 0)
		add_number(out, placement->diameter > 0 ? ", " : " ", placement->mass * 1000, " g");
}

static void add_ball_aim(const struct aim *aim, struct text *out)
{
	const char *ball = protocol_words_ball(aim->ball);

	if (aim->fullness >= 1) {
		text_print(out, "at the %s, full", ball);
		return;
	}
	text_print(out, "at the %s, ", ball);
	if (aim->fullness == 0.5)
		text_add(out, "half ball");
	else
		add_number(out, "", aim->fullness * 100, " % full");
	text_print(out, ", on its %s side as seen along the shot",
	           aim->contact == AIM_SIDE_LEFT ? "left" : "right");
}

void protocol_words_aim(const struct aim *aim, struct text *out)
{
	switch (aim->kind) {
	case AIM_NOSE:
		text_add(out, "at the nose line, ");
		protocol_words_amount(aim->at, "diamond", out);
		text_print(out, " on the %s rail", rail_name(aim->rail));
		break;
	case AIM_SIGHT:
		text_add(out, "through the sight mark at ");
		protocol_words_amount(aim->at, "diamond", out);
		text_print(out, " on the %s rail (the mark, not the nose)", rail_name(aim->rail));
		break;
	case AIM_POINT:
		add_number(out, "at the point long ", aim->point_long, "");
		add_number(out, ", short ", aim->point_short, "");
		break;
	case AIM_BALL:
		add_ball_aim(aim, out);
		break;
	}
	text_add(out, "; most strokes within ");
	protocol_words_amount(aim->spread_deg, "degree", out);
}

/* Our own four words for pace; a lag on a 9-ft table leaves the tip at about 2.2 m/s. */
static const char *pace(double speed)
{
	if (speed < 1.3)
		return "soft";
	if (speed < 2.7)
		return "lag pace";
	return speed < 4.2 ? "firm" : "hard";
}

static void add_tip(const struct launch *launch, struct text *out)
{
	if (launch->height == 0)
		text_add(out, "; tip at the height of the centre");
	else if (launch->height > 0)
		add_number(out, "; tip ", launch->height, " of the radius above the centre");
	else
		add_number(out, "; tip ", -launch->height, " of the radius below the centre");
	if (launch->side == 0)
		text_add(out, ", no side");
	else if (launch->side > 0)
		add_number(out, ", ", launch->side, " of the radius to the right");
	else
		add_number(out, ", ", -launch->side, " of the radius to the left");
	if (launch->elevation_deg == 0)
		return;
	text_add(out, "; butt raised ");
	protocol_words_amount(launch->elevation_deg, "degree", out);
}

void protocol_words_launch(const struct launch *launch, struct text *out)
{
	if (launch->by_ramp) {
		text_print(out, "roll it down the ramp \"%s\", always from the same mark", launch->ramp);
		add_number(out, ": about ", launch->speed, " m/s where it meets the bed");
		if (launch->groove_deg < RAMP_DEFAULT_GROOVE_DEG)
			add_number(out, "; groove of ", launch->groove_deg, " degrees");
		return;
	}
	text_print(out, "%s", pace(launch->speed));
	add_number(out, ", about ", launch->speed, " m/s");
	add_tip(launch, out);
}

size_t protocol_words_kit_names(unsigned kit, const char *names[5])
{
	static const struct {
		unsigned bit;
		const char *name;
	} words[5] = {
		{KIT_TAPE, "tape"}, {KIT_WATCH, "watch"}, {KIT_SOUND, "sound"},
		{KIT_RAMP, "ramp"}, {KIT_VIDEO, "video"},
	};
	size_t count = 0;

	for (size_t i = 0; i < 5; i++) {
		if ((kit & words[i].bit) != 0)
			names[count++] = words[i].name;
	}
	return count;
}

void protocol_words_kit(unsigned kit, struct text *out)
{
	const char *names[5];
	size_t count = protocol_words_kit_names(kit, names);

	for (size_t i = 0; i < count; i++)
		text_print(out, "%s%s", i > 0 ? ", " : "", names[i]);
	if (count == 0)
		text_add(out, "nothing");
}

void protocol_words_moment(struct moment moment, struct text *out)
{
	const char *ball = protocol_words_ball(moment.ball);

	switch (moment.kind) {
	case MOMENT_STRIKE:
		text_add(out, "the strike");
		break;
	case MOMENT_RAIL:
		text_print(out, "the %s meeting its %s rail", ball, protocol_words_ordinal(moment.number));
		break;
	case MOMENT_CONTACT:
		text_print(out, "the %s contact of two balls", protocol_words_ordinal(moment.number));
		break;
	case MOMENT_REST:
		text_print(out, "the %s coming to rest", ball);
		break;
	case MOMENT_STILL:
		text_print(out, "the %s being quite still, its side spin gone", ball);
		break;
	}
}

void protocol_words_quantity(int number, struct text *out)
{
	struct quantity quantity = quantity_at(number);
	const char *ball = protocol_words_ball(quantity.ball);

	switch (quantity.kind) {
	case QUANTITY_REST_LONG:
		text_print(out, "where the %s stops, along the table", ball);
		break;
	case QUANTITY_REST_SHORT:
		text_print(out, "where the %s stops, across the table", ball);
		break;
	case QUANTITY_RAIL:
		text_print(out, "where the %s meets its %s rail", ball,
		           protocol_words_ordinal(quantity.number));
		break;
	case QUANTITY_WATCH:
		text_print(out, "stopwatch interval %d", quantity.number);
		break;
	case QUANTITY_SOUND:
		text_print(out, "sound of the %s contact after the strike",
		           protocol_words_ordinal(quantity.number));
		break;
	}
}
