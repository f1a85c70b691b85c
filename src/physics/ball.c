/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/ball.h"

double ball_energy(const struct ball_state *state, const struct ball_body *body)
{
	double inertia = 0.4 * body->mass * body->radius * body->radius;

	return 0.5 * body->mass * vector3_dot(state->velocity, state->velocity) +
	       0.5 * inertia * vector3_dot(state->spin, state->spin);
}

struct vector3 ball_slip(const struct ball_state *state, double radius)
{
	return vector3_make(state->velocity.x - radius * state->spin.y,
	                    state->velocity.y + radius * state->spin.x, 0.0);
}
