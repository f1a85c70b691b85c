/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/effects_measures.h"

#include <math.h>

#include "advise/effects_contact.h"
#include "physics/cloth.h"
#include "physics/flight.h"

#define JUMP_BED_RESTITUTION 0.5 /* stated with the set-up, for none is measured */

double effect_draw(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state states[2];

	if (!effects_contact(bench, play, states))
		return (double)NAN;
	return (states[0].position.y - effects_bench_stop(bench, &states[0]).y) / bench->diamond;
}

double effect_follow(const struct effects_bench *bench, const struct effect_play *play)
{
	return -effect_draw(bench, play);
}

double effect_draw_kept(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state = effects_bench_strike(bench, play);
	struct cloth_motion motion =
	    cloth_motion_start(&state, &bench->bodies[BALL_CUE], &bench->constants);

	effects_bench_wait(bench, &state, -state.spin.x / motion.spin_rate.x);
	return state.position.y / bench->diamond;
}

/* The stun line as axes: along it, on the side to which the cue ball goes, and forward. */
struct stun_axes {
	struct vector3 along, forward;
};

static struct stun_axes stun_axes_of(const struct ball_state states[2])
{
	struct vector3 line = vector3_subtract(states[1].position, states[0].position);
	double length = vector3_norm_flat(line);
	struct vector3 forward = {line.x / length, line.y / length, 0.0};

	return (struct stun_axes){.along = {-forward.y, forward.x, 0.0}, .forward = forward};
}

double effect_stun_line(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state states[2], rolling;
	struct vector3 way;
	struct stun_axes axes;

	if (!effects_contact(bench, play, states))
		return (double)NAN;
	axes = stun_axes_of(states);
	rolling = cloth_roll_out(&states[0], &bench->bodies[BALL_CUE], &bench->constants, NULL);
	way = vector3_subtract(rolling.position, states[0].position);
	return (vector3_dot(way, axes.along) - vector3_dot(way, axes.forward) *
	                                           vector3_dot(rolling.velocity, axes.along) /
	                                           vector3_dot(rolling.velocity, axes.forward)) /
	       bench->diamond;
}

double effect_stun_angle(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state states[2], rolling;
	struct stun_axes axes;

	if (!effects_contact(bench, play, states))
		return (double)NAN;
	axes = stun_axes_of(states);
	rolling = cloth_roll_out(&states[0], &bench->bodies[BALL_CUE], &bench->constants, NULL);
	return atan2(vector3_dot(rolling.velocity, axes.forward),
	             vector3_dot(rolling.velocity, axes.along)) *
	       180.0 / M_PI;
}

double effect_side_time(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state = effects_bench_strike(bench, play);
	struct cloth_motion motion =
	    cloth_motion_start(&state, &bench->bodies[BALL_CUE], &bench->constants);

	return cloth_side_time(&state, &motion);
}

double effect_side_distance(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state = effects_bench_strike(bench, play);

	effects_bench_wait(bench, &state, effect_side_time(bench, play));
	return state.position.y / bench->diamond;
}

double effect_side_left(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state = effects_bench_strike(bench, play);
	double before = state.spin.z;

	if (!effects_bench_run(bench, &state, play->distance * bench->diamond))
		return (double)NAN;
	return 100.0 * state.spin.z / before;
}

/* A raised cue drives the ball into the bed, which grips it as in a landing: the downward part of the
 * impulse is speed times the tangent of the elevation, and the bed gives `restitution` of it back. */
static struct ball_state strike_down(const struct effects_bench *bench,
                                     const struct effect_play *play, double restitution)
{
	struct ball_state state = effects_bench_strike(bench, play);
	struct constants constants = bench->constants;

	constants.terms.bed_restitution = restitution;
	state.velocity.z = -play->speed * tan(play->elevation_deg * M_PI / 180.0);
	flight_land(&state, &bench->bodies[BALL_CUE], &constants);
	return state;
}

double effect_curve_near(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state = strike_down(bench, play, 0.0);

	if (!effects_bench_run(bench, &state, play->distance * bench->diamond))
		return (double)NAN;
	return copysign(1.0, play->side) * state.position.x / bench->diamond;
}

double effect_side_arrival(const struct effects_bench *bench, const struct effect_play *play)
{
	return -effect_curve_near(bench, play);
}

double effect_side_curve(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state state = effects_bench_strike(bench, play);
	double squirt = fabs(state.velocity.x / state.velocity.y) * play->distance;

	return squirt + effect_curve_near(bench, play);
}

static struct ball_state after_curve(const struct effects_bench *bench,
                                     const struct effect_play *play)
{
	struct ball_state state = strike_down(bench, play, 0.0);

	return cloth_roll_out(&state, &bench->bodies[BALL_CUE], &bench->constants, NULL);
}

double effect_curve_width(const struct effects_bench *bench, const struct effect_play *play)
{
	return copysign(1.0, play->side) * after_curve(bench, play).position.x / bench->diamond;
}

double effect_curve_direction(const struct effects_bench *bench, const struct effect_play *play)
{
	struct vector3 velocity = after_curve(bench, play).velocity;

	return copysign(1.0, play->side) * atan2(velocity.x, velocity.y) * 180.0 / M_PI;
}

/* Each landing is as fast as the jump before it. */
double effect_jump_back_spin(const struct effects_bench *bench, const struct effect_play *play)
{
	const struct ball_body *body = &bench->bodies[BALL_CUE];
	struct ball_state state = strike_down(bench, play, JUMP_BED_RESTITUTION);
	struct constants constants = bench->constants;

	constants.terms.bed_restitution = JUMP_BED_RESTITUTION;
	for (int i = 0; i < play->number; i++) {
		state.velocity.z = -state.velocity.z;
		flight_land(&state, body, &constants);
	}
	return body->radius * state.spin.x;
}
