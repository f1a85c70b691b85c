/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/effects_measures.h"

#include <math.h>

#include "advise/effects_contact.h"
#include "physics/cloth.h"

#define LONGER 3.0 /* a table on which a kick meets the left rail before the foot rail */
#define GAP 1e-6   /* before a contact [m] */
#define RUN_UP 2.0 /* of the cue ball that follows to a rail [diamonds] */

static const enum rail right_left[] = {RAIL_RIGHT, RAIL_LEFT};
static const enum rail foot_left[] = {RAIL_FOOT, RAIL_LEFT};
static const enum rail right_foot_left[] = {RAIL_RIGHT, RAIL_FOOT, RAIL_LEFT};

static double long_of(const struct effects_bench *bench, const struct ball_state *state)
{
	return state->position.y / bench->diamond;
}

static struct vector3 on_rail(const struct effects_bench *bench, enum rail rail, double at)
{
	const struct table *table = &bench->table;

	if (rail == RAIL_FOOT)
		return vector3_make(table_short_to_metres(table, at), table->length, 0.0);
	return vector3_make(table->width, table_long_to_metres(table, at), 0.0);
}

double effect_square_return(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state first =
	    effects_bench_shoot(bench, play, on_rail(bench, RAIL_RIGHT, play->from_long));
	struct ball_state second = first;

	if (!effects_bench_rails(bench, BALL_CUE, 1.0, 1, right_left, &first))
		return (double)NAN;
	if (!effects_bench_rails(bench, BALL_CUE, 1.0, 2, right_left, &second) &&
	    !effects_bench_rest(bench, &second))
		return (double)NAN;
	return fabs(long_of(bench, &second) - long_of(bench, &first));
}

double effect_kick(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state =
	    effects_bench_shoot(bench, play, on_rail(bench, RAIL_RIGHT, play->at));

	if (!effects_bench_rails(bench, BALL_CUE, LONGER, 2, right_left, &state))
		return (double)NAN;
	return long_of(bench, &state);
}

double effect_hold(const struct effects_bench *bench, const struct effect_play *play)
{
	struct effect_play plain = *play;

	plain.side = 0.0;
	return effect_kick(bench, &plain) - effect_kick(bench, play);
}

/* The line through both balls and the point on the rail is taken as y for the contact, and the
 * object ball then turned to where it really lies. */
double effect_bank(const struct effects_bench *bench, const struct effect_play *play)
{
	double x = table_short_to_metres(&bench->table, play->from_short);
	double y = table_long_to_metres(&bench->table, play->from_long);
	struct vector3 to = on_rail(bench, RAIL_RIGHT, play->at);
	double turn = atan2(to.y - y, to.x - x) - 0.5 * M_PI;
	struct ball_state states[2], ball;
	double c = cos(turn), s = sin(turn);

	if (!effects_contact(bench, play, states))
		return (double)NAN;
	ball = states[1];
	ball.position = vector3_make(x, y, bench->bodies[BALL_OBJECT].radius);
	ball.velocity = vector3_make(c * states[1].velocity.x - s * states[1].velocity.y,
	                             s * states[1].velocity.x + c * states[1].velocity.y, 0.0);
	ball.spin = vector3_make(c * states[1].spin.x - s * states[1].spin.y,
	                         s * states[1].spin.x + c * states[1].spin.y, states[1].spin.z);
	if (!effects_bench_rails(bench, BALL_OBJECT, LONGER, 2, right_left, &ball))
		return (double)NAN;
	return long_of(bench, &ball);
}

double effect_two_rails(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state =
	    effects_bench_shoot(bench, play, on_rail(bench, RAIL_FOOT, play->at));

	if (!effects_bench_cross(bench, 2, foot_left, 0, 0.5 * bench->table.width, &state))
		return (double)NAN;
	return long_of(bench, &state);
}

double effect_three_rails(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state =
	    effects_bench_shoot(bench, play, on_rail(bench, RAIL_RIGHT, play->at));

	if (!effects_bench_rails(bench, BALL_CUE, 1.0, 3, right_foot_left, &state))
		return (double)NAN;
	return long_of(bench, &state);
}

/* The cue ball just after the contact, seen from a place on the endless cloth; *object_long receives
 * where the object ball lies there [m]. */
static bool follow_contact(const struct effects_bench *bench, const struct effect_play *play,
                           struct ball_state *state, double *object_long)
{
	struct effect_play run = *play;
	struct ball_state states[2];

	run.distance = RUN_UP;
	run.height = 0.4;
	if (!effects_contact(bench, &run, states))
		return false;
	*state = states[0];
	*object_long = states[1].position.y;
	return true;
}

/* The cue ball once it stopped, with its place at the contact in *from. */
static bool stall(const struct effects_bench *bench, const struct effect_play *play,
                  struct vector3 *from, struct ball_state *state)
{
	double object_long;

	if (!follow_contact(bench, play, state, &object_long))
		return false;
	state->position.x = 0.5 * bench->table.width;
	state->position.y += bench->table.length - play->distance * bench->diamond - object_long;
	*from = state->position;
	return effects_bench_rest(bench, state);
}

double effect_over_spin(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state, rolling;
	double object_long;

	if (!follow_contact(bench, play, &state, &object_long))
		return (double)NAN;
	rolling = cloth_roll_out(&state, &bench->bodies[BALL_CUE], &bench->constants, NULL);
	return (rolling.position.y - state.position.y) / bench->diamond;
}

double effect_stall_away(const struct effects_bench *bench, const struct effect_play *play)
{
	struct vector3 from;
	struct ball_state state;

	if (!stall(bench, play, &from, &state))
		return (double)NAN;
	return (bench->table.length - state.position.y) / bench->diamond;
}

double effect_stall_along(const struct effects_bench *bench, const struct effect_play *play)
{
	struct vector3 from;
	struct ball_state state;

	if (!stall(bench, play, &from, &state))
		return (double)NAN;
	return fabs(state.position.x - from.x) / bench->diamond;
}

/* Rolling toward the right rail, just before it. */
static struct ball_state grazing(const struct effects_bench *bench, const struct effect_play *play)
{
	const double radius = bench->bodies[BALL_CUE].radius;
	double angle = play->angle_deg * M_PI / 180.0;
	struct vector3 velocity = {play->speed * sin(angle), play->speed * cos(angle), 0.0};
	struct ball_state state = {.velocity = velocity,
	                           .spin = {-velocity.y / radius, velocity.x / radius, 0.0}};

	state.position = vector3_make(table_frozen_line(&bench->table, RAIL_RIGHT, radius) - GAP,
	                              table_long_to_metres(&bench->table, play->from_long), radius);
	return state;
}

double effect_graze_angle(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state = grazing(bench, play);

	if (!effects_bench_rails(bench, BALL_CUE, 1.0, 1, right_left, &state))
		return (double)NAN;
	state = cloth_roll_out(&state, &bench->bodies[BALL_CUE], &bench->constants, NULL);
	return atan2(-state.velocity.x, state.velocity.y) * 180.0 / M_PI;
}

double effect_graze_distance(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state = grazing(bench, play);
	double line = state.position.y + play->distance * bench->diamond;

	if (!effects_bench_cross(bench, 1, right_left, 1, line, &state))
		return (double)NAN;
	return (table_frozen_line(&bench->table, RAIL_RIGHT, bench->bodies[BALL_CUE].radius) -
	        state.position.x) /
	       bench->diamond;
}
