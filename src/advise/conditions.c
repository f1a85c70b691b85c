/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/conditions.h"

#include <math.h>
#include <string.h>

#include "estimate/propagate.h"
#include "physics/cloth.h"
#include "physics/collision.h"
#include "physics/cushion.h"
#include "shot/play.h"

#define SMALLEST_STEP 1e-3 /* on the fitted scales */

static struct ball_body table_ball(const struct table *table)
{
	return (struct ball_body){
	    .radius = 0.5 * table->ball_diameter, .mass = table->ball_mass, .grip = 1.0};
}

static double one_length_time(const struct table *table, const struct constants *constants)
{
	return sqrt(2.0 * (table->length - table->ball_diameter) /
	            (constants->value[ROLLING_RESISTANCE] * STANDARD_GRAVITY));
}

/* Distance that a ball struck in its middle at 2 m/s slides: 12 v^2 / (49 mu g). */
static double stun_slide(const struct table *table, const struct constants *constants)
{
	const double speed = 2.0;
	double metres = 12.0 * speed * speed /
	                (49.0 * constants->value[SLIDING_FRICTION] * STANDARD_GRAVITY);

	return table_long_to_diamonds(table, metres);
}

/* A ball that rolls squarely into a rail at 1 m/s: its speed once it rolls again. */
static double square_rail_speed_kept(const struct table *table, const struct constants *constants)
{
	struct ball_body body = table_ball(table);
	struct cushion_contact contact = {.nose_sine = table->nose_height / body.radius - 1.0,
	                                  .restitution = constants->value[CUSHION_RESTITUTION],
	                                  .friction = constants->value[CUSHION_FRICTION],
	                                  .bed_friction = constants->value[SLIDING_FRICTION]};
	struct ball_state state = {.velocity = {0.0, 1.0, 0.0},
	                           .spin = {-1.0 / body.radius, 0.0, 0.0}};

	if (cushion_rebound(RAIL_FOOT, &contact, 0.0, CUSHION_TOLERANCE, body.radius, &state, NULL) !=
	    STATUS_OK)
		return (double)NAN;
	state = cloth_roll_out(&state, &body, constants, NULL);
	return 100.0 * vector3_norm_flat(state.velocity);
}

/* Shift along the rail between the first and the second rail contact of a ball sent squarely to
 * the right rail with full right side, on a table without pockets so that none is in the way. */
static double full_side_return(const struct table *table, const struct constants *constants)
{
	const double speed = 2.0, side = 0.5;
	struct table bed = *table;
	struct ball_body body = table_ball(table);
	struct ball_state state = {.position = {table_short_to_metres(table, 1.0),
	                                        0.5 * table->length, body.radius},
	                           .velocity = {speed, 0.0, 0.0},
	                           .spin = {0.0, 0.0, 2.5 * side * speed / body.radius}};
	struct shot_scene scene = {.table = &bed,
	                           .constants = constants,
	                           .ball_count = 1,
	                           .bodies = &body,
	                           .tolerance = CUSHION_TOLERANCE};
	struct shot_need need = {.rails = {2}};
	struct shot_record record;

	bed.pockets = false;
	shot_play(&scene, &state, &need, &record);
	if (record.event_count < 2)
		return (double)NAN;
	return table_long_to_diamonds(table, fabs(record.events[1].position.y -
	                                          record.events[0].position.y));
}

/* Angle between the object ball's way and the line of centres, cut by 30 degrees at 1 m/s with no
 * spin at contact. */
static double half_ball_throw(const struct table *table, const struct constants *constants)
{
	const double cut = M_PI / 6.0;
	struct ball_body body = table_ball(table);
	struct ball_state cue = {.velocity = {cos(cut), sin(cut), 0.0}};
	struct ball_state object = {.position = {2.0 * body.radius, 0.0, 0.0}};
	struct collision_contact contact = {.restitution = constants->value[BALL_RESTITUTION],
	                                    .friction = constants->value[BALL_FRICTION],
	                                    .friction_fall = constants->terms.ball_friction_fall};
	struct collision_change change = collision_solve(&cue, &body, &object, &body, &contact);

	return fabs(atan2(change.velocity[1].y, change.velocity[1].x)) * 180.0 / M_PI;
}

double condition_value(enum condition_id id, const struct table *table,
                       const struct constants *constants)
{
	const double side = 0.5, speed = 2.0;

	switch (id) {
	case ONE_LENGTH_TIME_S:
		return one_length_time(table, constants);
	case STUN_SLIDE_DIAMONDS:
		return stun_slide(table, constants);
	case SQUARE_RAIL_SPEED_KEPT_PERCENT:
		return square_rail_speed_kept(table, constants);
	case FULL_SIDE_RETURN_DIAMONDS:
		return full_side_return(table, constants);
	case HALF_BALL_THROW_DEG:
		return half_ball_throw(table, constants);
	case FULL_SIDE_LASTS_S:
		return side * speed / (constants->value[SPIN_FRICTION] * STANDARD_GRAVITY);
	case CONDITION_COUNT:
		break;
	}
	return (double)NAN;
}

static struct constants constants_at(const double scaled[CONSTANT_COUNT])
{
	struct constants constants = {.terms = {0.0}};

	for (int id = 0; id < CONSTANT_COUNT; id++)
		constants.value[id] = constant_from_scale((enum constant_id)id, scaled[id]);
	return constants;
}

/* A condition of a table, for its logarithm as a function of the constants' fitted scales. */
struct condition_of_table {
	enum condition_id id;
	const struct table *table;
};

static double log_condition(const void *context, const double *scaled)
{
	const struct condition_of_table *condition = context;
	struct constants constants = constants_at(scaled);

	return log(condition_value(condition->id, condition->table, &constants));
}

struct interval condition_interval(enum condition_id id, const struct table *table,
                                   const double mode[CONSTANT_COUNT],
                                   double covariance[CONSTANT_COUNT][CONSTANT_COUNT],
                                   double coverage, double *deviation)
{
	const struct condition_of_table condition = {id, table};
	struct constants constants = constants_at(mode);
	struct interval interval = {.value = condition_value(id, table, &constants)};
	double scaled[CONSTANT_COUNT], slopes[CONSTANT_COUNT], variance;

	memcpy(scaled, mode, sizeof scaled);
	propagate_slopes(log_condition, &condition, scaled, &covariance[0][0], CONSTANT_COUNT,
	                 SMALLEST_STEP, slopes);
	variance = propagate_covariance(slopes, slopes, &covariance[0][0], CONSTANT_COUNT);
	*deviation = sqrt(fmax(0.0, variance));
	interval.standard_error = interval.value * *deviation;
	interval.low95 = interval.value * exp(-coverage * *deviation);
	interval.high95 = interval.value * exp(coverage * *deviation);
	return interval;
}
