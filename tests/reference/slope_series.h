/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_REFERENCE_SLOPE_SERIES_H
#define RESTPOINT_TESTS_REFERENCE_SLOPE_SERIES_H

#include <math.h>

#include "physics/cloth.h"

/* The equations of physics.md 1 with slope, integrated by their power series in time in many short
 * steps, beside the program: dv/dt = -f d - h, du/dt = -k f d - h', with d = u/|u| of the slip or
 * d = v/|v| of the velocity. */

#define SERIES_ORDER 24
#define SERIES_PART 0.15 /* of the time in which |w| could vanish, for one step */

/* One ball on a slope. A rolling ball has its slip set to its velocity. */
struct series_ball {
	double w[2], v[2], x[2];       /* slip, velocity, place */
	double friction_w, friction_v; /* decelerations of the two [m/s^2] */
	double pull_w[2], pull_v[2];
};

static inline double series_sum(const double *c, double t)
{
	double value = 0.0;

	for (int n = SERIES_ORDER; n >= 0; n--)
		value = value * t + c[n];
	return value;
}

/* Coefficients of w, of its size and of its direction, by the recurrence of the equation. */
static inline void series_build(const struct series_ball *ball, double w[2][SERIES_ORDER + 2],
                                double d[2][SERIES_ORDER + 1])
{
	double size[SERIES_ORDER + 2];

	w[0][0] = ball->w[0];
	w[1][0] = ball->w[1];
	size[0] = hypot(ball->w[0], ball->w[1]);
	for (int n = 0; n <= SERIES_ORDER; n++) {
		double square = 0.0;

		for (int i = 0; i < 2; i++) {
			d[i][n] = w[i][n];
			for (int k = 1; k <= n; k++)
				d[i][n] -= size[k] * d[i][n - k];
			d[i][n] /= size[0];
			w[i][n + 1] =
			    (-ball->friction_w * d[i][n] + (n == 0 ? ball->pull_w[i] : 0.0)) /
			    (n + 1);
		}
		for (int k = 0; k <= n + 1; k++)
			square += w[0][k] * w[0][n + 1 - k] + w[1][k] * w[1][n + 1 - k];
		for (int k = 1; k <= n; k++)
			square -= size[k] * size[n + 1 - k];
		size[n + 1] = square / (2.0 * size[0]);
	}
}

static inline void series_step(struct series_ball *ball, double time)
{
	double w[2][SERIES_ORDER + 2], d[2][SERIES_ORDER + 1];

	series_build(ball, w, d);
	for (int i = 0; i < 2; i++) {
		double v[SERIES_ORDER + 1] = {ball->v[i]}, x[SERIES_ORDER + 1] = {ball->x[i]};

		for (int n = 0; n < SERIES_ORDER; n++)
			v[n + 1] =
			    (-ball->friction_v * d[i][n] + (n == 0 ? ball->pull_v[i] : 0.0)) /
			    (n + 1);
		for (int n = 0; n < SERIES_ORDER; n++)
			x[n + 1] = v[n] / (n + 1);
		ball->w[i] = series_sum(w[i], time);
		ball->v[i] = series_sum(v, time);
		ball->x[i] = series_sum(x, time);
	}
}

/* Over `time` seconds, which must end before w vanishes. */
static inline void series_go(struct series_ball *ball, double time)
{
	while (time > 0.0) {
		double step = SERIES_PART * hypot(ball->w[0], ball->w[1]) /
		              (ball->friction_w + hypot(ball->pull_w[0], ball->pull_w[1]));

		step = fmin(step, time);
		series_step(ball, step);
		time -= step;
	}
}

/* A ball that slides or rolls, by physics.md 1. */
static inline struct series_ball series_start(const struct ball_state *state, double radius,
                                              enum cloth_phase phase, double friction,
                                              const struct constant_terms *terms)
{
	const double g = 9.80665, slope[2] = {terms->slope_short, terms->slope_long};
	struct series_ball ball = {.v = {state->velocity.x, state->velocity.y},
	                           .x = {state->position.x, state->position.y}};

	if (phase == CLOTH_SLIDING) {
		ball.w[0] = state->velocity.x - radius * state->spin.y;
		ball.w[1] = state->velocity.y + radius * state->spin.x;
		ball.friction_w = 3.5 * friction * g;
		ball.friction_v = friction * g;
	} else {
		ball.w[0] = ball.v[0];
		ball.w[1] = ball.v[1];
		ball.friction_w = ball.friction_v = friction * g;
	}
	for (int i = 0; i < 2; i++)
		ball.pull_w[i] = ball.pull_v[i] =
		    -(phase == CLOTH_SLIDING ? 1.0 : 5.0 / 7.0) * g * slope[i];
	return ball;
}

#endif
