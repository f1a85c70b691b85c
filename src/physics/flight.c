/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/flight.h"

bool flight_airborne(const struct ball_state *state, double radius,
                     const struct constants *constants)
{
	return constants->terms.bed_restitution > 0.0 &&
	       (state->position.z > radius + 1e-12 || state->velocity.z > 0.0);
}

/* Friction at the lowest point, of an impulse / mass of at most `most` [m/s]. */
static void rub(struct ball_state *state, double radius, double most)
{
	struct vector3 slip = ball_slip(state, radius);
	double size = vector3_norm_flat(slip);
	double share = size > 0.0 ? fmin(2.0 / 7.0, most / size) : 0.0; /* of the slip */

	state->velocity.x -= share * slip.x;
	state->velocity.y -= share * slip.y;
	/* The torque of a push against x at the lowest point drives the spin about y, and so on. */
	state->spin.x -= 2.5 * share * slip.y / radius;
	state->spin.y += 2.5 * share * slip.x / radius;
}

/* Friction about the vertical, likewise. */
static void spin_down(struct ball_state *state, double radius, double most)
{
	double left = fabs(state->spin.z) - 2.5 * most / radius;

	state->spin.z = copysign(fmax(0.0, left), state->spin.z);
}

void flight_land(struct ball_state *state, const struct ball_body *body,
                 const struct constants *constants)
{
	double down = fmax(0.0, -state->velocity.z);
	double up = constants->terms.bed_restitution * down;
	double normal;

	if (up < FLIGHT_LOWEST)
		up = 0.0;
	normal = body->grip * (down + up);
	rub(state, body->radius, constants->value[SLIDING_FRICTION] * normal);
	spin_down(state, body->radius, constants->value[SPIN_FRICTION] * normal);
	state->velocity.z = up;
	state->position.z = body->radius;
}
