/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/plan_how.h"

#include <math.h>

#include "report/format_value.h"

#define LENGTH_OF_PACES 2.54 /* [m] */

void plan_how_diamonds(double diamonds, struct text *out)
{
	static const char *const quarters[] = {"", "1/4", "1/2", "3/4"};
	double whole = floor(diamonds), rest = 4.0 * (diamonds - whole);
	char shown[NUMBER_SIZE];

	if (rest != round(rest)) {
		format_plain(diamonds, shown);
		text_add(out, shown);
	} else if (whole > 0.0 || rest == 0.0) {
		text_print(out, "%.0f%s%s", whole, rest > 0.0 ? " " : "", quarters[(int)rest]);
	} else {
		text_add(out, quarters[(int)rest]);
	}
}

static void add_place(const char *before, double along, double across, struct text *out)
{
	text_add(out, before);
	text_add(out, "long ");
	plan_how_diamonds(along, out);
	text_add(out, ", short ");
	plan_how_diamonds(across, out);
}

/* The pace of a stroke; a lag on a 9-foot table leaves the tip at about 2.2 m/s. */
static const char *pace(double speed, double length)
{
	double like = speed / sqrt(length / LENGTH_OF_PACES);

	if (like < 0.85)
		return "very softly";
	if (like < 1.3)
		return "softly";
	if (like < 1.85)
		return "a little softer than a lag";
	if (like < 2.35)
		return "at lag pace";
	if (like < 3.0)
		return "a little firmer than a lag";
	return "firmly";
}

static const char *tip_height(double height)
{
	if (height >= 0.35)
		return "with a rolling ball (tip nearly half way from the centre to the top)";
	if (height > 0.0)
		return "with a little follow (tip a fifth of the radius above the centre)";
	if (height == 0.0)
		return "with the tip at the height of the centre";
	if (height > -0.2)
		return "with the tip a little below the centre (a sixth of the radius)";
	if (height > -0.3)
		return "with the tip a quarter of the radius below the centre";
	return "with the tip two fifths of the radius below the centre";
}

static void add_side(double side, struct text *out)
{
	const char *hand = side > 0.0 ? "right" : "left";
	double much = fabs(side);

	if (much == 0.0)
		text_add(out, " and no side");
	else if (much > 0.42)
		text_print(out, " and as much %s side as is safe (nearly half the radius)", hand);
	else if (much > 0.35)
		text_print(out, " and much %s side (two fifths of the radius)", hand);
	else if (much > 0.25)
		text_print(out, " and %s side (three tenths of the radius)", hand);
	else
		text_print(out, " and a little %s side (a fifth of the radius)", hand);
}

static void add_stroke(const struct launch *launch, double length, struct text *out)
{
	text_print(out, "%s, %s", pace(launch->speed, length), tip_height(launch->height));
	add_side(launch->side, out);
}

static const char *cut_name(double fullness)
{
	if (fullness > 0.6)
		return "three quarters full";
	return fullness > 0.4 ? "half" : "thin, a quarter full";
}

/* "on its left side as you look along the shot" */
static const char *hit_side(const struct aim *aim)
{
	return aim->contact == AIM_SIDE_LEFT ? "left" : "right";
}

static void add_balls(const struct shot_design *design, struct text *out)
{
	const struct placement *cue = &design->place[BALL_CUE];
	const struct placement *object = &design->place[BALL_OBJECT];

	add_place("Place the cue ball at ", cue->along.diamonds, cue->across.diamonds, out);
	if (object->present && object->touching) {
		text_add(out,
		         ", and the object ball frozen to it on the line from the cue ball to ");
		add_place("the point ", object->toward_long, object->toward_short, out);
	} else if (object->present) {
		add_place(", and the object ball at ", object->along.diamonds,
		          object->across.diamonds, out);
	}
	text_add(out, ". ");
}

/* "the foot rail at 2": a point of its nose line. */
static void add_nose(const struct aim *aim, struct text *out)
{
	text_print(out, "the %s rail at ", rail_name(aim->rail));
	plan_how_diamonds(aim->at, out);
}

static void add_target(enum plan_kind kind, const struct shot_design *design, struct text *out)
{
	const struct aim *aim = &design->aim;

	switch (kind) {
	case PLAN_LAG:
		text_add(out, "Shoot straight up the middle and back, ");
		return;
	case PLAN_ROLL:
		text_add(out, "Roll the ball straight up the table so that it stops short of the "
		              "foot rail, ");
		return;
	case PLAN_CROSS:
		text_print(out, "Shoot squarely across the table to the %s rail, ",
		           rail_name(aim->rail));
		return;
	case PLAN_PAIR:
		text_add(out,
		         "Hit the cue ball straight up the table, parallel to the long rails, ");
		return;
	default:
		break;
	}
	if (aim->kind != AIM_BALL) {
		text_add(out, "Aim at ");
		add_nose(aim, out);
		text_add(out, " and shoot ");
	} else if (aim->fullness >= 1.0) {
		text_add(out, "Hit the object ball full, ");
	} else {
		text_print(out,
		           "Hit the object ball %s on its %s side as you look along the shot, ",
		           cut_name(aim->fullness), hit_side(aim));
	}
}

static void add_ramp(enum plan_kind kind, struct text *out)
{
	text_print(out,
	           "Let the ball roll down the ramp from the mark that is always the same, %s; it "
	           "leaves the ramp where the cue ball is to lie. ",
	           kind == PLAN_RAMP_ROLL
	               ? "straight up the table so that it stops short of the foot rail"
	               : "squarely across the table to the right rail");
}

static const char *opposite(enum rail rail)
{
	return rail == RAIL_LEFT ? "right" : "left";
}

static void add_notes(enum plan_kind kind, const struct shot_design *design, struct text *out)
{
	const char *rail = rail_name(design->aim.rail);

	switch (kind) {
	case PLAN_CROSS:
	case PLAN_KICK:
		text_print(out, "Note where the ball touches the %s rail and then the %s rail.",
		           rail, opposite(design->aim.rail));
		return;
	case PLAN_RUNNING:
		text_print(out, "Note where the ball touches the %s rail and then its second rail.",
		           rail);
		return;
	case PLAN_THREE:
		text_add(out, "Note where the ball touches its first three rails.");
		return;
	case PLAN_CUT:
	case PLAN_PAIR:
		text_add(out, "Note where each ball first touches a rail.");
		return;
	case PLAN_FULL:
		text_add(out,
		         "Note where the cue ball stops, along and across the table; where the "
		         "object ball goes does not matter.");
		return;
	case PLAN_FOLLOW:
		text_add(out, "Note where both balls stop along the table.");
		return;
	case PLAN_SPIN:
		text_add(out, "The cue ball stays about where the object ball was, and spins. Note "
		              "where the object ball stops along the table.");
		return;
	case PLAN_RAMP_CROSS:
		text_add(out, "Note where the ball stops across the table.");
		return;
	default:
		text_add(out, "Note where the ball stops along the table.");
	}
}

static const char *press(struct moment moment)
{
	switch (moment.kind) {
	case MOMENT_STRIKE:
		return "at the strike";
	case MOMENT_RAIL:
		return "when the ball meets its first rail";
	case MOMENT_STILL:
		return "when the spin of the cue ball has ended";
	default:
		return "when the ball stops";
	}
}

static void add_watch(const struct shot_design *design, struct text *out)
{
	if (design->watch_count == 0)
		return;
	text_print(out, " Press the watch %s", press(design->watch[0].from));
	if (design->watch_count > 1)
		text_print(out, ", %s", press(design->watch[0].to));
	text_print(out, " and %s.", press(design->watch[design->watch_count - 1].to));
}

static void add_sounds(const struct shot_design *design, struct text *out)
{
	int count = 0;

	for (int number = 0; number < QUANTITY_COUNT; number++)
		count += (design->measure & (UINT32_C(1) << number)) != 0 &&
		         quantity_at(number).kind == QUANTITY_SOUND;
	if (count == 1)
		text_add(out, " The recording gives the time from the strike to the next sound.");
	else if (count > 1)
		text_print(out,
		           " The recording gives the times from the strike to the next %s sounds.",
		           count == 2 ? "two" : "three");
}

void plan_how_sentences(enum plan_kind kind, const struct shot_design *design, double length,
                        struct text *out)
{
	add_balls(design, out);
	if (design->launch.by_ramp) {
		add_ramp(kind, out);
	} else {
		add_target(kind, design, out);
		add_stroke(&design->launch, length, out);
		text_add(out, ". ");
	}
	add_notes(kind, design, out);
	add_watch(design, out);
	add_sounds(design, out);
}

static const char *full_title(double height)
{
	if (height >= 0.35)
		return "Straight hit, rolling";
	if (height == 0.0)
		return "Straight hit, stop shot";
	return height > -0.2 ? "Straight hit with a touch of draw" : "Straight hit with draw";
}

void plan_how_title(enum plan_kind kind, const struct shot_design *design, struct text *out)
{
	static const char *const titles[PLAN_KINDS] = {
	    [PLAN_LAG] = "Lag up and down the table",
	    [PLAN_ROLL] = "Slow roll along the table",
	    [PLAN_RAMP_ROLL] = "Roll from the ramp",
	    [PLAN_RAMP_CROSS] = "Roll from the ramp, square across",
	    [PLAN_RUNNING] = "Two rails with side, short rail first",
	    [PLAN_THREE] = "Three rails, long rail first",
	    [PLAN_FOLLOW] = "Soft rolling follow, full hit",
	    [PLAN_PAIR] = "Touching pair",
	    [PLAN_SPIN] = "Spin on the spot"};

	if (kind == PLAN_CROSS)
		text_print(out, "Square across with %s side",
		           design->launch.side > 0.0 ? "right" : "left");
	else if (kind == PLAN_KICK)
		text_print(out, "Rolling kick off the %s rail", rail_name(design->aim.rail));
	else if (kind == PLAN_CUT)
		text_add(out, design->aim.fullness > 0.6   ? "Thick cut"
		              : design->aim.fullness > 0.4 ? "Half-ball cut"
		                                           : "Thin cut");
	else
		text_add(out, kind == PLAN_FULL ? full_title(design->launch.height) : titles[kind]);
}
