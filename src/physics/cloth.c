/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cloth.h"

#define SLOWEST 1e-9 /* a slip or a speed below this is none [m/s] */

static void motion_slide(struct cloth_motion *motion, struct vector3 slip, double speed,
                         double deceleration, double radius)
{
	struct vector3 direction = vector3_scale(1.0 / speed, slip);
	double rate = 2.5 * deceleration / radius;

	motion->phase = CLOTH_SLIDING;
	motion->duration = 2.0 * speed / (7.0 * deceleration);
	motion->acceleration = vector3_scale(-deceleration, direction);
	motion->spin_rate = vector3_make(-rate * direction.y, rate * direction.x, 0.0);
}

static void motion_roll(struct cloth_motion *motion, struct vector3 velocity, double speed,
                        double deceleration, double radius)
{
	struct vector3 acceleration = vector3_scale(-deceleration / speed, velocity);

	motion->phase = CLOTH_ROLLING;
	motion->duration = speed / deceleration;
	motion->acceleration = vector3_make(acceleration.x, acceleration.y, 0.0);
	motion->spin_rate = vector3_make(-acceleration.y / radius, acceleration.x / radius, 0.0);
}

struct cloth_motion cloth_motion_start(const struct ball_state *state,
                                       const struct ball_body *body,
                                       const struct constants *constants)
{
	const double *value = constants->value;
	struct vector3 slip = ball_slip(state, body->radius);
	double slip_speed = vector3_norm_flat(slip);
	double speed = vector3_norm_flat(state->velocity);
	double g = STANDARD_GRAVITY;
	struct cloth_motion motion = {.phase = CLOTH_REST, .duration = HUGE_VAL};

	motion.side_decay = 2.5 * value[SPIN_FRICTION] * body->grip * g / body->radius;
	if (slip_speed > SLOWEST)
		motion_slide(&motion, slip, slip_speed, value[SLIDING_FRICTION] * body->grip * g,
		             body->radius);
	else if (speed > SLOWEST)
		motion_roll(&motion, state->velocity, speed, value[ROLLING_RESISTANCE] * g,
		            body->radius);
	return motion;
}

static double side_after(double side, double fall)
{
	if (side > fall)
		return side - fall;
	if (side < -fall)
		return side + fall;
	return 0.0;
}

/* Makes the state at the end of a phase obey the next one exactly, against rounding. */
static void phase_finish(struct ball_state *state, enum cloth_phase phase, double radius)
{
	if (phase == CLOTH_ROLLING)
		state->velocity = vector3_make(0.0, 0.0, 0.0);
	state->spin.x = -state->velocity.y / radius;
	state->spin.y = state->velocity.x / radius;
}

struct ball_state cloth_advance(const struct ball_state *state, const struct cloth_motion *motion,
                                double radius, double time)
{
	struct ball_state next = *state;

	next.spin.z = side_after(state->spin.z, motion->side_decay * time);
	if (motion->phase == CLOTH_REST)
		return next;
	next.position.x += time * (state->velocity.x + 0.5 * time * motion->acceleration.x);
	next.position.y += time * (state->velocity.y + 0.5 * time * motion->acceleration.y);
	next.velocity.x += time * motion->acceleration.x;
	next.velocity.y += time * motion->acceleration.y;
	next.spin.x += time * motion->spin_rate.x;
	next.spin.y += time * motion->spin_rate.y;
	if (time >= motion->duration)
		phase_finish(&next, motion->phase, radius);
	return next;
}

double cloth_side_time(const struct ball_state *state, const struct cloth_motion *motion)
{
	if (state->spin.z == 0.0)
		return 0.0;
	return motion->side_decay > 0.0 ? fabs(state->spin.z) / motion->side_decay : HUGE_VAL;
}

struct ball_state cloth_roll_out(const struct ball_state *state, const struct ball_body *body,
                                 const struct constants *constants, double *time)
{
	struct cloth_motion motion = cloth_motion_start(state, body, constants);

	if (time != NULL)
		*time = 0.0;
	if (motion.phase != CLOTH_SLIDING)
		return *state;
	if (time != NULL)
		*time = motion.duration;
	return cloth_advance(state, &motion, body->radius, motion.duration);
}
