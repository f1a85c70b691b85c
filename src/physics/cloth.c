/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cloth.h"

#include "physics/flight.h"

#define SLOWEST 1e-9 /* a slip or a speed below this is none [m/s] */
#define LEVEL 1e-18  /* a slope up to this changes no digit, and its square may underflow */

/* Every part but the curve, which only curved motions have. */
static void motion_clear(struct cloth_motion *motion)
{
	motion->phase = CLOTH_REST;
	motion->duration = HUGE_VAL;
	motion->acceleration = motion->spin_rate = vector3_make(0.0, 0.0, 0.0);
	motion->side_decay = 0.0;
	motion->curved = false;
}

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

/* Rates of a curved motion while w points along a direction. With dw/dt = -A w/|w| + B, w the slip
 * of a sliding ball falls by bed friction 2/7 A of its velocity and 5/7 A of R times its spin, and
 * B is the downhill pull; w the velocity of a rolling one has the pull of 5/7 in B. */
static void curve_rates(const struct cloth_motion *motion, const double direction[2], double radius,
                        struct vector3 *acceleration, struct vector3 *spin_rate)
{
	const struct slope_curve *curve = &motion->curve;
	double part = motion->phase == CLOTH_SLIDING ? 2.0 / 7.0 : 1.0;
	double friction = -part * curve->friction, turn;

	*acceleration = vector3_make(friction * direction[0] + curve->pull * curve->axis_x,
	                             friction * direction[1] + curve->pull * curve->axis_y, 0.0);
	turn = 5.0 / 7.0 * curve->friction / radius;
	*spin_rate = motion->phase == CLOTH_SLIDING
	                 ? vector3_make(-turn * direction[1], turn * direction[0], 0.0)
	                 : vector3_make(-acceleration->y / radius, acceleration->x / radius, 0.0);
}

/* Lets a motion that slides or rolls go along the curve that starts at w. */
static void motion_curve(struct cloth_motion *motion, struct vector3 w, double friction,
                         double pull_x, double pull_y, double radius)
{
	double size = vector3_norm_flat(w);
	double direction[2] = {w.x / size, w.y / size};

	motion->curved = true;
	motion->curve = slope_curve_start(w.x, w.y, friction, pull_x, pull_y);
	motion->duration = slope_curve_duration(&motion->curve);
	curve_rates(motion, direction, radius, &motion->acceleration, &motion->spin_rate);
}

static void motion_slope(struct cloth_motion *motion, const struct ball_state *state,
                         struct vector3 slip, const struct ball_body *body,
                         const struct constants *constants)
{
	const double *value = constants->value;
	const struct constant_terms *terms = &constants->terms;
	double g = STANDARD_GRAVITY;

	if (motion->phase == CLOTH_SLIDING)
		motion_curve(motion, slip, 3.5 * value[SLIDING_FRICTION] * body->grip * g,
		             -g * terms->slope_short, -g * terms->slope_long, body->radius);
	else
		motion_curve(motion, state->velocity, value[ROLLING_RESISTANCE] * g,
		             -5.0 / 7.0 * g * terms->slope_short,
		             g * terms->nap_long - 5.0 / 7.0 * g * terms->slope_long,
		             body->radius);
}

/* Whether something but friction drives a ball that is on the bed and moves. */
static bool is_driven(const struct constant_terms *terms, enum cloth_phase phase)
{
	return fabs(terms->slope_long) > LEVEL || fabs(terms->slope_short) > LEVEL ||
	       (phase == CLOTH_ROLLING && fabs(terms->nap_long) > LEVEL);
}

/* Seconds until a ball in the air comes down to its radius. */
static double fall_time(double height, double rise)
{
	double root = sqrt(rise * rise + 2.0 * STANDARD_GRAVITY * fmax(0.0, height));

	/* The form that does not cancel. */
	return rise >= 0.0 ? (rise + root) / STANDARD_GRAVITY : 2.0 * height / (root - rise);
}

static void motion_fly(struct cloth_motion *motion, const struct ball_state *state,
                       const struct ball_body *body, const struct constant_terms *terms)
{
	double g = STANDARD_GRAVITY;

	motion->phase = CLOTH_FLYING;
	motion->duration = fall_time(state->position.z - body->radius, state->velocity.z);
	motion->acceleration = vector3_make(-g * terms->slope_short, -g * terms->slope_long, -g);
}

struct cloth_motion cloth_motion_start(const struct ball_state *state, const struct ball_body *body,
                                       const struct constants *constants)
{
	const double *value = constants->value;
	const struct constant_terms *terms = &constants->terms;
	struct vector3 slip = ball_slip(state, body->radius);
	double slip_speed = vector3_norm_flat(slip);
	double speed = vector3_norm_flat(state->velocity);
	double g = STANDARD_GRAVITY;
	struct cloth_motion motion;

	motion_clear(&motion);
	if (flight_airborne(state, body->radius, constants)) {
		motion_fly(&motion, state, body, terms);
		return motion;
	}
	motion.side_decay = 2.5 * value[SPIN_FRICTION] * body->grip * g / body->radius;
	if (slip_speed > SLOWEST)
		motion_slide(&motion, slip, slip_speed, value[SLIDING_FRICTION] * body->grip * g,
		             body->radius);
	else if (speed > SLOWEST)
		motion_roll(&motion, state->velocity, speed, value[ROLLING_RESISTANCE] * g,
		            body->radius);
	if (motion.phase != CLOTH_REST && is_driven(terms, motion.phase))
		motion_slope(&motion, state, slip, body, constants);
	return motion;
}

struct cloth_motion cloth_motion_later(const struct cloth_motion *motion,
                                       const struct ball_state *state, double radius)
{
	const struct slope_curve *curve = &motion->curve;
	struct cloth_motion later = *motion;
	struct vector3 w;

	if (!motion->curved)
		return later;
	w = motion->phase == CLOTH_SLIDING ? ball_slip(state, radius) : state->velocity;
	if (w.x == 0.0 && w.y == 0.0)
		later.duration = 0.0;
	else
		motion_curve(&later, w, curve->friction, curve->pull * curve->axis_x,
		             curve->pull * curve->axis_y, radius);
	return later;
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
	if (phase == CLOTH_FLYING) {
		state->position.z = radius;
		return;
	}
	if (phase == CLOTH_ROLLING)
		state->velocity = vector3_make(0.0, 0.0, 0.0);
	state->spin.x = -state->velocity.y / radius;
	state->spin.y = state->velocity.x / radius;
}

/* A sliding ball: its velocity follows the slip by 2/7, but for 5/7 of the pull. */
static void slide_along(struct ball_state *next, const struct slope_curve *curve,
                        const struct slope_point *point, double radius, double time)
{
	double slip[2] = {next->velocity.x - radius * next->spin.y,
	                  next->velocity.y + radius * next->spin.x};
	double pull[2] = {5.0 / 7.0 * curve->pull * curve->axis_x,
	                  5.0 / 7.0 * curve->pull * curve->axis_y};

	next->position.x += time * (next->velocity.x + 0.5 * time * pull[0]) +
	                    2.0 / 7.0 * (point->way[0] - slip[0] * time);
	next->position.y += time * (next->velocity.y + 0.5 * time * pull[1]) +
	                    2.0 / 7.0 * (point->way[1] - slip[1] * time);
	next->velocity.x += 2.0 / 7.0 * (point->w[0] - slip[0]) + time * pull[0];
	next->velocity.y += 2.0 / 7.0 * (point->w[1] - slip[1]) + time * pull[1];
	next->spin.x = (point->w[1] - next->velocity.y) / radius;
	next->spin.y = (next->velocity.x - point->w[0]) / radius;
}

static void curve_advance(struct ball_state *next, const struct cloth_motion *motion, double radius,
                          double time)
{
	struct slope_point point;

	slope_curve_at(&motion->curve, time, &point);
	if (motion->phase == CLOTH_SLIDING) {
		slide_along(next, &motion->curve, &point, radius, time);
		return;
	}
	next->position.x += point.way[0];
	next->position.y += point.way[1];
	next->velocity.x = point.w[0];
	next->velocity.y = point.w[1];
	next->spin.x = -next->velocity.y / radius;
	next->spin.y = next->velocity.x / radius;
}

struct ball_state cloth_advance(const struct ball_state *state, const struct cloth_motion *motion,
                                double radius, double time)
{
	struct ball_state next = *state;

	next.spin.z = side_after(state->spin.z, motion->side_decay * time);
	if (motion->phase == CLOTH_REST)
		return next;
	if (motion->curved) {
		curve_advance(&next, motion, radius, time);
	} else {
		next.position.x += time * (state->velocity.x + 0.5 * time * motion->acceleration.x);
		next.position.y += time * (state->velocity.y + 0.5 * time * motion->acceleration.y);
		next.velocity.x += time * motion->acceleration.x;
		next.velocity.y += time * motion->acceleration.y;
		next.spin.x += time * motion->spin_rate.x;
		next.spin.y += time * motion->spin_rate.y;
	}
	if (motion->phase == CLOTH_FLYING) {
		next.position.z += time * (state->velocity.z + 0.5 * time * motion->acceleration.z);
		next.velocity.z += time * motion->acceleration.z;
	}
	if (time >= motion->duration)
		phase_finish(&next, motion->phase, radius);
	return next;
}

void cloth_rates(const struct cloth_motion *motion, double radius, double time,
                 struct vector3 *acceleration, struct vector3 *spin_rate)
{
	struct slope_point point;

	*acceleration = motion->acceleration;
	*spin_rate = motion->spin_rate;
	if (!motion->curved || time <= 0.0)
		return;
	slope_curve_at(&motion->curve, time, &point);
	curve_rates(motion, point.direction, radius, acceleration, spin_rate);
}

double cloth_side_time(const struct ball_state *state, const struct cloth_motion *motion)
{
	if (state->spin.z == 0.0)
		return 0.0;
	return motion->side_decay > 0.0 ? fabs(state->spin.z) / motion->side_decay : HUGE_VAL;
}

/* When the centre turns back along an axis (0 x, 1 y) within `elapsed` seconds; -1: it does not.
 * Its velocity along one axis changes its sign once at the most, for it turns by less than half a
 * turn (only one that slides on a slope can go to and fro, by less than a millimetre or so, and the
 * ends of the way are looked at anyway). */
static double turning_time(const struct ball_state *state, const struct cloth_motion *motion,
                           double radius, int axis, double elapsed)
{
	double v = axis == 0 ? state->velocity.x : state->velocity.y;
	double a = axis == 0 ? motion->acceleration.x : motion->acceleration.y;
	double low = 0.0, high = elapsed;
	struct ball_state end;

	if (!motion->curved)
		return a != 0.0 ? -v / a : -1.0;
	end = cloth_advance(state, motion, radius, elapsed);
	if (!(v * (axis == 0 ? end.velocity.x : end.velocity.y) < 0.0))
		return -1.0;
	for (int i = 0; i < 60 && high - low > 1e-9 * elapsed; i++) {
		double middle = 0.5 * (low + high);

		end = cloth_advance(state, motion, radius, middle);
		if (v * (axis == 0 ? end.velocity.x : end.velocity.y) > 0.0)
			low = middle;
		else
			high = middle;
	}
	return low;
}

static double part_along(const struct ball_state *state, int axis)
{
	return axis == 0 ? state->position.x : state->position.y;
}

double cloth_farthest(const struct ball_state *state, const struct cloth_motion *motion,
                      double radius, int axis, double line, double elapsed)
{
	struct ball_state at = cloth_advance(state, motion, radius, elapsed);
	double distance =
	    fmax(fabs(part_along(state, axis) - line), fabs(part_along(&at, axis) - line));
	double turn = turning_time(state, motion, radius, axis, elapsed);

	if (turn > 0.0 && turn < elapsed) {
		at = cloth_advance(state, motion, radius, turn);
		distance = fmax(distance, fabs(part_along(&at, axis) - line));
	}
	return distance;
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
