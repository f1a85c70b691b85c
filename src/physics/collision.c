/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/collision.h"

static struct vector3 line_of_centres(const struct ball_state *first,
                                      const struct ball_state *second)
{
	struct vector3 n = vector3_subtract(second->position, first->position);

	n.z = 0.0;
	return vector3_scale(1.0 / vector3_norm_flat(n), n);
}

double collision_approach(const struct ball_state *first, const struct ball_state *second)
{
	return vector3_dot(vector3_subtract(first->velocity, second->velocity),
	                   line_of_centres(first, second));
}

/* Friction of the contact: its horizontal part acts on the centres along t = z x n, its vertical
 * part only on the spins (physics.md 3). slip_flat and slip_up are those of the first ball's
 * surface past the second's; impulse is that of friction over slip, both per unit. */
static void add_friction(struct collision_change *change, const struct ball_body *bodies[2],
                         struct vector3 n, double slip_flat, double slip_up, double impulse)
{
	struct vector3 t = vector3_make(-n.y, n.x, 0.0);
	double flat = impulse * slip_flat, up = impulse * slip_up;

	for (int i = 0; i < 2; i++) {
		double sign = i == 0 ? -1.0 : 1.0;
		double turn = 2.5 / (bodies[i]->mass * bodies[i]->radius);

		change->velocity[i] =
		    vector3_add(change->velocity[i], vector3_scale(sign * flat / bodies[i]->mass, t));
		change->spin[i] = vector3_make(turn * up * t.x, turn * up * t.y, -turn * flat);
	}
}

struct collision_change collision_solve(const struct ball_state *first,
                                        const struct ball_body *first_body,
                                        const struct ball_state *second,
                                        const struct ball_body *second_body, double restitution,
                                        double friction)
{
	struct collision_change change = {.approach = 0.0};
	const struct ball_body *bodies[2] = {first_body, second_body};
	struct vector3 n = line_of_centres(first, second);
	struct vector3 t = vector3_make(-n.y, n.x, 0.0);
	struct vector3 relative = vector3_subtract(first->velocity, second->velocity);
	struct vector3 spins = vector3_add(vector3_scale(first_body->radius, first->spin),
	                                   vector3_scale(second_body->radius, second->spin));
	double reduced = first_body->mass * second_body->mass / (first_body->mass + second_body->mass);
	double slip_flat = vector3_dot(relative, t) + spins.z;
	double slip_up = spins.x * n.y - spins.y * n.x;
	double slip = hypot(slip_flat, slip_up);
	double normal, grip, tangential;

	change.approach = vector3_dot(relative, n);
	if (!(change.approach > 0.0))
		return change;
	normal = (1.0 + restitution) * reduced * change.approach;
	change.velocity[0] = vector3_scale(-normal / first_body->mass, n);
	change.velocity[1] = vector3_scale(normal / second_body->mass, n);
	grip = friction * sqrt(first_body->grip * second_body->grip);
	tangential = fmin(grip * normal, 2.0 / 7.0 * reduced * slip);
	if (slip > 0.0)
		add_friction(&change, bodies, n, slip_flat, slip_up, tangential / slip);
	return change;
}
