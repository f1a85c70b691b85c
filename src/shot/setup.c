/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/setup.h"

#include <math.h>

#include "physics/cue.h"

#define DEGREE (M_PI / 180.0)

/* The coordinate in metres of a placed ball, long (along) or short. */
static double place_metres(const struct place_coordinate *coordinate, bool along,
                           const struct table *table, double radius)
{
	if (coordinate->frozen)
		return table_frozen_line(table, coordinate->rail, radius);
	return along ? table_long_to_metres(table, coordinate->diamonds)
	             : table_short_to_metres(table, coordinate->diamonds);
}

static struct vector3 point_metres(const struct table *table, double along, double across)
{
	return vector3_make(table_short_to_metres(table, across), table_long_to_metres(table, along),
	                    0.0);
}

/* How far apart on the bed two balls stand that touch: their centres are R1 + R2 apart in space, at
 * heights R1 and R2. For like balls exactly one diameter. */
static double touching_distance(const struct ball_body *first, const struct ball_body *second)
{
	if (first->radius == second->radius)
		return 2.0 * first->radius;
	return 2.0 * sqrt(first->radius * second->radius);
}

/* Places a ball, after the ball it touches; depth guards against a cycle. */
static bool place_ball(const struct shot_design *design, const struct table *table,
                       struct shot_setup *setup, enum ball_role role, int depth)
{
	const struct placement *place = &design->place[role];
	double radius = setup->bodies[role].radius;
	struct vector3 *position = &setup->balls[role].position;
	struct vector3 line;

	if (depth > BALL_ROLES || !place->present)
		return false;
	if (!place->touching) {
		position->x = place_metres(&place->across, false, table, radius);
		position->y = place_metres(&place->along, true, table, radius);
		position->z = radius;
		return true;
	}
	if (!place_ball(design, table, setup, place->touched, depth + 1))
		return false;
	line = vector3_subtract(point_metres(table, place->toward_long, place->toward_short),
	                        setup->balls[place->touched].position);
	line.z = 0.0;
	if (!(vector3_norm_flat(line) > 0.0))
		return false;
	line = vector3_scale(touching_distance(&setup->bodies[role], &setup->bodies[place->touched]) /
	                         vector3_norm_flat(line), line);
	*position = vector3_add(setup->balls[place->touched].position, line);
	position->z = radius;
	return true;
}

static bool placement_stands(const struct shot_setup *setup, const struct table *table,
                             const char **why)
{
	const double slack = 1e-9;

	for (int i = 0; i < BALL_ROLES; i++) {
		const struct vector3 *p = &setup->balls[i].position;
		double radius = setup->bodies[i].radius;

		if (!setup->present[i])
			continue;
		*why = "a ball is so large or so small that the cushion does not meet it above its centre";
		if (!(table->nose_height > radius && table->nose_height < 2.0 * radius))
			return false;
		*why = "a ball stands inside a cushion: its centre is nearer to a nose than its radius";
		if (p->x < radius - slack || p->x > table->width - radius + slack ||
		    p->y < radius - slack || p->y > table->length - radius + slack)
			return false;
		*why = "two balls stand inside one another";
		for (int j = 0; j < i; j++)
			if (setup->present[j] &&
			    vector3_norm_flat(vector3_subtract(*p, setup->balls[j].position)) <
			        touching_distance(&setup->bodies[i], &setup->bodies[j]) - slack)
				return false;
	}
	return true;
}

/* The point on a rail's nose line, or behind it by the setback of the sights. */
static struct vector3 rail_point(const struct table *table, enum rail rail, double at,
                                 double setback)
{
	switch (rail) {
	case RAIL_HEAD:
		return vector3_make(table_short_to_metres(table, at), -setback, 0.0);
	case RAIL_FOOT:
		return vector3_make(table_short_to_metres(table, at), table->length + setback, 0.0);
	case RAIL_LEFT:
		return vector3_make(-setback, table_long_to_metres(table, at), 0.0);
	default:
		return vector3_make(table->width + setback, table_long_to_metres(table, at), 0.0);
	}
}

static bool aim_at_point(const struct shot_setup *setup, struct vector3 target, double *aim,
                         const char **why)
{
	struct vector3 line = vector3_subtract(target, setup->balls[BALL_CUE].position);

	*why = "the cue ball stands on the point it is aimed at";
	if (!(vector3_norm_flat(line) > 1e-6))
		return false;
	*aim = atan2(line.y, line.x);
	return true;
}

static bool aim_at_ball(const struct aim *aim, const struct shot_setup *setup, double *direction,
                        const char **why)
{
	struct vector3 line = vector3_subtract(setup->balls[aim->ball].position,
	                                       setup->balls[BALL_CUE].position);
	double distance = vector3_norm_flat(line);
	double beside = (1.0 - aim->fullness) *
	                (setup->bodies[BALL_CUE].radius + setup->bodies[aim->ball].radius);
	double turn;

	*why = "the ball aimed at is not placed, or too near for that fullness";
	if (!setup->present[aim->ball] || aim->ball == BALL_CUE || !(distance > beside))
		return false;
	turn = asin(beside / distance);
	*direction = atan2(line.y, line.x) + (aim->contact == AIM_SIDE_RIGHT ? -turn : turn);
	return true;
}

static bool aim_direction(const struct aim *aim, const struct table *table,
                          const struct shot_setup *setup, double *direction, const char **why)
{
	switch (aim->kind) {
	case AIM_NOSE:
		return aim_at_point(setup, rail_point(table, aim->rail, aim->at, 0.0), direction, why);
	case AIM_SIGHT:
		return aim_at_point(setup, rail_point(table, aim->rail, aim->at, table->sight_setback),
		                    direction, why);
	case AIM_POINT:
		return aim_at_point(setup, point_metres(table, aim->point_long, aim->point_short),
		                    direction, why);
	case AIM_BALL:
		return aim_at_ball(aim, setup, direction, why);
	}
	return false;
}

bool shot_setup_make(const struct shot_design *design, const struct table *table,
                     const struct ball_body bodies[BALL_ROLES], struct shot_setup *setup,
                     const char **why)
{
	*setup = (struct shot_setup){.aim = 0.0};
	for (int i = 0; i < BALL_ROLES; i++) {
		setup->bodies[i] = bodies[i];
		setup->present[i] = design->place[i].present;
	}
	*why = "a ball touches a ball that is not placed, or has no direction to touch it in";
	for (int i = 0; i < BALL_ROLES; i++)
		if (setup->present[i] && !place_ball(design, table, setup, (enum ball_role)i, 0))
			return false;
	if (!placement_stands(setup, table, why))
		return false;
	return aim_direction(&design->aim, table, setup, &setup->aim, why);
}

struct stroke shot_design_stroke(const struct shot_design *design)
{
	const struct launch *launch = &design->launch;

	return (struct stroke){.speed = launch->speed,
	                       .turn = 0.0,
	                       .height = launch->height,
	                       .side = launch->side,
	                       .elevation = launch->elevation_deg * DEGREE};
}

void shot_setup_strike(const struct shot_setup *setup, const struct shot_design *design,
                       const struct stroke *stroke, double end_mass_ratio,
                       double bed_restitution, struct ball_state states[BALL_ROLES])
{
	for (int i = 0; i < BALL_ROLES; i++)
		states[i] = setup->balls[i];
	if (design->launch.by_ramp)
		cue_release(stroke, setup->aim, design->launch.groove_deg * DEGREE,
		            &setup->bodies[BALL_CUE], &states[BALL_CUE]);
	else
		cue_strike(stroke, setup->aim, end_mass_ratio, bed_restitution,
		           &setup->bodies[BALL_CUE], &states[BALL_CUE]);
}
