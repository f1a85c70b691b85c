/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_shapes.h"

#include <math.h>

#include "table/table.h"

#define RAMP_SPEED 0.7 /* [m/s]: the one release speed of the ramp */

static void place(struct shot_design *design, enum ball_role ball, double along, double across)
{
	design->place[ball] =
	    (struct placement){.present = true, .along.diamonds = along, .across.diamonds = across};
}

static bool on_bed(double along, double across)
{
	return along >= 0.25 && along <= TABLE_DIAMONDS_LONG - 0.25 && across >= 0.25 &&
	       across <= TABLE_DIAMONDS_SHORT - 0.25;
}

static void aim_nose(struct shot_design *design, enum rail rail, double at)
{
	design->aim = (struct aim){.kind = AIM_NOSE, .rail = rail, .at = at};
}

static void aim_ball(struct shot_design *design, double fullness, enum aim_side contact)
{
	design->aim = (struct aim){
	    .kind = AIM_BALL, .ball = BALL_OBJECT, .fullness = fullness, .contact = contact};
}

static void strike(struct shot_design *design, double speed, double height, double side)
{
	design->launch = (struct launch){.speed = speed, .height = height, .side = side};
}

static void read(struct shot_design *design, enum quantity_kind kind, enum ball_role ball,
                 int number)
{
	design->measure |= UINT32_C(1) << quantity_number((struct quantity){kind, ball, number});
}

static void read_rails(struct shot_design *design, enum ball_role ball, int count)
{
	for (int number = 1; number <= count; number++)
		read(design, QUANTITY_RAIL, ball, number);
}

/* The first sounds, where the kit has a phone. */
static void hear(struct shot_design *design, unsigned kit, int count)
{
	for (int number = 1; (kit & KIT_SOUND) && number <= count; number++)
		read(design, QUANTITY_SOUND, BALL_CUE, number);
}

/* One more interval, where the kit has a watch. */
static void watch(struct shot_design *design, unsigned kit, struct moment from, struct moment to)
{
	if (!(kit & KIT_WATCH))
		return;
	design->watch[design->watch_count++] = (struct watch_interval){from, to};
	read(design, QUANTITY_WATCH, BALL_CUE, design->watch_count);
}

static const struct moment at_strike = {MOMENT_STRIKE, BALL_CUE, 0};
static const struct moment at_rail = {MOMENT_RAIL, BALL_CUE, 1};
static const struct moment at_rest = {MOMENT_REST, BALL_CUE, 0};
static const struct moment at_still = {MOMENT_STILL, BALL_CUE, 0};

/* Left for right: places, aims and side. */
static void mirror(struct shot_design *design)
{
	for (int ball = 0; ball < BALL_ROLES; ball++) {
		struct placement *placement = &design->place[ball];

		if (placement->touching)
			placement->toward_short = TABLE_DIAMONDS_SHORT - placement->toward_short;
		else if (placement->present)
			placement->across.diamonds =
			    TABLE_DIAMONDS_SHORT - placement->across.diamonds;
	}
	if (design->aim.kind == AIM_POINT)
		design->aim.point_short = TABLE_DIAMONDS_SHORT - design->aim.point_short;
	else if (design->aim.kind == AIM_NOSE && !rail_is_long(design->aim.rail))
		design->aim.at = TABLE_DIAMONDS_SHORT - design->aim.at;
	else if (design->aim.kind == AIM_NOSE)
		design->aim.rail = design->aim.rail == RAIL_LEFT ? RAIL_RIGHT : RAIL_LEFT;
	if (design->aim.contact != AIM_SIDE_NONE)
		design->aim.contact =
		    design->aim.contact == AIM_SIDE_LEFT ? AIM_SIDE_RIGHT : AIM_SIDE_LEFT;
	design->launch.side = 0.0 - design->launch.side;
}

bool plan_shape_lag(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], 2.0);
	aim_nose(design, RAIL_FOOT, 2.0);
	strike(design, at[1], 0.4, 0.0);
	read(design, QUANTITY_REST_LONG, BALL_CUE, 0);
	if (at[2] > 1.0)
		watch(design, kit, at_strike, at_rail);
	watch(design, kit, at_rail, at_rest);
	hear(design, kit, 1);
	return true;
}

bool plan_shape_roll(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], at[1]);
	aim_nose(design, RAIL_FOOT, at[1]);
	strike(design, at[2], 0.4, 0.0);
	read(design, QUANTITY_REST_LONG, BALL_CUE, 0);
	watch(design, kit, at_strike, at_rest);
	return true;
}

static void release(struct shot_design *design)
{
	design->launch = (struct launch){.by_ramp = true, .speed = RAMP_SPEED, .ramp = "ramp"};
}

bool plan_shape_ramp_roll(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], at[1]);
	aim_nose(design, RAIL_FOOT, at[1]);
	release(design);
	read(design, QUANTITY_REST_LONG, BALL_CUE, 0);
	watch(design, kit, at_strike, at_rest);
	return true;
}

bool plan_shape_ramp_cross(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], at[1]);
	aim_nose(design, RAIL_RIGHT, at[0]);
	release(design);
	read(design, QUANTITY_REST_SHORT, BALL_CUE, 0);
	watch(design, kit, at_rail, at_rest);
	return true;
}

bool plan_shape_cross(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], at[1]);
	aim_nose(design, RAIL_RIGHT, at[0]);
	strike(design, at[2], at[4], at[3]);
	read_rails(design, BALL_CUE, 2);
	hear(design, kit, 2);
	if (at[5] > 0.0)
		mirror(design);
	return true;
}

bool plan_shape_kick(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], at[1]);
	aim_nose(design, RAIL_RIGHT, at[0] + at[2]);
	strike(design, at[3], 0.4, 0.0);
	read_rails(design, BALL_CUE, 2);
	hear(design, kit, 2);
	if (at[4] > 0.0)
		mirror(design);
	return true;
}

bool plan_shape_running(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], at[1]);
	aim_nose(design, RAIL_FOOT, at[2]);
	strike(design, at[3], 0.2, at[4]);
	read_rails(design, BALL_CUE, 2);
	hear(design, kit, 2);
	if (at[5] > 0.0)
		mirror(design);
	return true;
}

bool plan_shape_three(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], at[1]);
	aim_nose(design, RAIL_RIGHT, at[2]);
	strike(design, at[3], 0.2, at[4]);
	read_rails(design, BALL_CUE, 3);
	hear(design, kit, 3);
	if (at[5] > 0.0)
		mirror(design);
	return true;
}

bool plan_shape_cut(const double *at, unsigned kit, struct shot_design *design)
{
	double along = at[0] + at[2], across = at[1] + at[3];

	if (!on_bed(along, across) || fabs(at[2]) + fabs(at[3]) < 0.4)
		return false;
	place(design, BALL_CUE, at[0], at[1]);
	place(design, BALL_OBJECT, along, across);
	aim_ball(design, fabs(at[4]), at[4] < 0.0 ? AIM_SIDE_LEFT : AIM_SIDE_RIGHT);
	strike(design, at[5], 0.4, 0.0);
	read_rails(design, BALL_CUE, 1);
	read_rails(design, BALL_OBJECT, 1);
	hear(design, kit, 2);
	return true;
}

bool plan_shape_full(const double *at, unsigned kit, struct shot_design *design)
{
	double along = at[0] + at[2], across = at[1] + at[3];

	if (!on_bed(along, across))
		return false;
	place(design, BALL_CUE, at[0], at[1]);
	place(design, BALL_OBJECT, along, across);
	aim_ball(design, 1.0, AIM_SIDE_NONE);
	strike(design, at[5], at[4], 0.0);
	read(design, QUANTITY_REST_LONG, BALL_CUE, 0);
	read(design, QUANTITY_REST_SHORT, BALL_CUE, 0);
	hear(design, kit, 1);
	return true;
}

bool plan_shape_follow(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], 2.0);
	place(design, BALL_OBJECT, at[1], 2.0);
	aim_ball(design, 1.0, AIM_SIDE_NONE);
	strike(design, at[2], 0.4, 0.0);
	read(design, QUANTITY_REST_LONG, BALL_CUE, 0);
	read(design, QUANTITY_REST_LONG, BALL_OBJECT, 0);
	hear(design, kit, 1);
	return true;
}

bool plan_shape_pair(const double *at, unsigned kit, struct shot_design *design)
{
	double along = at[0] + at[2], across = at[1] + at[3];

	if (across > TABLE_DIAMONDS_SHORT)
		return false;
	place(design, BALL_CUE, at[0], at[1]);
	design->place[BALL_OBJECT] = (struct placement){.present = true,
	                                                .touching = true,
	                                                .touched = BALL_CUE,
	                                                .toward_long = along,
	                                                .toward_short = across};
	design->aim = (struct aim){
	    .kind = AIM_POINT, .point_long = TABLE_DIAMONDS_LONG, .point_short = at[1]};
	strike(design, at[4], 0.0, 0.0);
	read_rails(design, BALL_CUE, 1);
	read_rails(design, BALL_OBJECT, 1);
	hear(design, kit, 2);
	if (at[5] > 0.0)
		mirror(design);
	return true;
}

bool plan_shape_spin(const double *at, unsigned kit, struct shot_design *design)
{
	place(design, BALL_CUE, at[0], 2.0);
	place(design, BALL_OBJECT, at[0] + at[1], 2.0);
	aim_ball(design, 1.0, AIM_SIDE_NONE);
	strike(design, at[2], 0.0, at[3]);
	read(design, QUANTITY_REST_LONG, BALL_OBJECT, 0);
	watch(design, kit, at_strike, at_still);
	hear(design, kit, 1);
	return true;
}
