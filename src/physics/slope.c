/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/slope.h"

#include <string.h>

#define G STANDARD_GRAVITY

bool slope_stops(const struct constants *constants)
{
	const double *value = constants->value;
	const struct constant_terms *terms = &constants->terms;
	double slope = hypot(terms->slope_long, terms->slope_short);
	double push = hypot(5.0 / 7.0 * terms->slope_long - terms->nap_long,
	                    5.0 / 7.0 * terms->slope_short);

	return value[ROLLING_RESISTANCE] > push && value[SLIDING_FRICTION] > 2.0 / 7.0 * slope;
}

struct constants slope_held(const struct constants *constants, enum rail rail)
{
	struct constants held = *constants;
	struct constant_terms *terms = &held.terms;

	/* The pull is down the slope: toward the head and the left where the rise is positive. What a
	 * nap does besides must not drive a rolling ball into the rail either. */
	if (rail == RAIL_HEAD) {
		terms->slope_long = fmin(terms->slope_long, 0.0);
		terms->nap_long = fmax(terms->nap_long, 5.0 / 7.0 * terms->slope_long);
	} else if (rail == RAIL_FOOT) {
		terms->slope_long = fmax(terms->slope_long, 0.0);
		terms->nap_long = fmin(terms->nap_long, 5.0 / 7.0 * terms->slope_long);
	} else if (rail == RAIL_LEFT)
		terms->slope_short = fmin(terms->slope_short, 0.0);
	else
		terms->slope_short = fmax(terms->slope_short, 0.0);
	return held;
}

/* Derivatives of w at the start, A, B by each input: the part that the motion's phase has. */
struct inner {
	double w[2][SLOPE_BY]; /* at the start */
	double friction;       /* dA/d(friction) */
	double pull;           /* dB/d(slope) */
};

static struct inner inner_find(enum cloth_phase phase, double radius)
{
	struct inner inner = {.friction = G, .pull = -5.0 / 7.0 * G};

	inner.w[0][SLOPE_BY_VELOCITY_X] = 1.0;
	inner.w[1][SLOPE_BY_VELOCITY_Y] = 1.0;
	if (phase != CLOTH_SLIDING)
		return inner;
	inner.w[0][SLOPE_BY_SPIN_Y] = -radius;
	inner.w[1][SLOPE_BY_SPIN_X] = radius;
	inner.friction = 3.5 * G;
	inner.pull = -G;
	return inner;
}

/* One row of the curve's derivatives by the inputs of the motion. */
static void chain(const struct inner *inner, const double row[CURVE_BY], double out[SLOPE_BY])
{
	for (int by = 0; by < SLOPE_BY; by++)
		out[by] = row[CURVE_BY_WX] * inner->w[0][by] + row[CURVE_BY_WY] * inner->w[1][by];
	out[SLOPE_BY_FRICTION] += row[CURVE_BY_FRICTION] * inner->friction;
	out[SLOPE_BY_LONG] += row[CURVE_BY_PULL_Y] * inner->pull;
	out[SLOPE_BY_SHORT] += row[CURVE_BY_PULL_X] * inner->pull;
}

/* From those of the slip (w, way) to those of the centre of a sliding ball:
 * v = v0 + 2/7 (w - w0) + 5/7 B t, and its integral. */
static void slide_rows(const struct inner *inner, int axis, double time, const double w[SLOPE_BY],
                       const double way[SLOPE_BY], double velocity[SLOPE_BY],
                       double position[SLOPE_BY])
{
	int slope = axis == 0 ? SLOPE_BY_SHORT : SLOPE_BY_LONG;

	for (int by = 0; by < SLOPE_BY; by++) {
		velocity[by] = 2.0 / 7.0 * (w[by] - inner->w[axis][by]);
		position[by] = 2.0 / 7.0 * (way[by] - time * inner->w[axis][by]);
	}
	velocity[SLOPE_BY_VELOCITY_X + axis] += 1.0;
	position[SLOPE_BY_VELOCITY_X + axis] += time;
	velocity[slope] += 5.0 / 7.0 * time * inner->pull;
	position[slope] += 5.0 / 14.0 * time * time * inner->pull;
}

/* R times the spin from velocity and slip: R wx = uy - vy, R wy = vx - ux. */
static void spin_rows(double slip[2][SLOPE_BY], double radius, struct slope_slopes *slopes)
{
	for (int by = 0; by < SLOPE_BY; by++) {
		slopes->by[SLOPE_SPIN_X][by] =
		    (slip[1][by] - slopes->by[SLOPE_VELOCITY_Y][by]) / radius;
		slopes->by[SLOPE_SPIN_Y][by] =
		    (slopes->by[SLOPE_VELOCITY_X][by] - slip[0][by]) / radius;
	}
}

/* The curve of a motion, also of one on a level bed. */
static struct slope_curve motion_own_curve(const struct ball_state *state,
                                           const struct cloth_motion *motion, double radius,
                                           double friction)
{
	bool slides = motion->phase == CLOTH_SLIDING;
	struct vector3 w = slides ? ball_slip(state, radius) : state->velocity;

	if (motion->curved)
		return motion->curve;
	return slope_curve_start(w.x, w.y, (slides ? 3.5 : 1.0) * friction * G, 0.0, 0.0);
}

void slope_differentiate(const struct ball_state *state, const struct cloth_motion *motion,
                         double radius, double friction, double time, struct slope_slopes *slopes)
{
	struct slope_curve curve = motion_own_curve(state, motion, radius, friction);
	struct inner inner = inner_find(motion->phase, radius);
	struct slope_curve_slopes curve_slopes;
	double slip[2][SLOPE_BY] = {{0.0}};

	/* A duration that differs by rounding is meant to be the duration. */
	slope_curve_differentiate(&curve, time >= motion->duration ? HUGE_VAL : time,
	                          &curve_slopes);
	chain(&inner, curve_slopes.duration, slopes->duration);
	for (int axis = 0; axis < 2; axis++) {
		double *velocity = slopes->by[SLOPE_VELOCITY_X + axis];
		double *position = slopes->by[SLOPE_X + axis];
		double w[SLOPE_BY], way[SLOPE_BY];

		chain(&inner, curve_slopes.w[axis], w);
		chain(&inner, curve_slopes.way[axis], way);
		if (motion->phase == CLOTH_SLIDING) {
			slide_rows(&inner, axis, time, w, way, velocity, position);
			memcpy(slip[axis], w, sizeof w);
		} else {
			memcpy(velocity, w, sizeof w);
			memcpy(position, way, sizeof way);
		}
	}
	spin_rows(slip, radius, slopes);
}
