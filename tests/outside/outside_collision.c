/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_collision.h"

#include <math.h>

static struct vector3 line_of_centres(const struct ball_state balls[2])
{
	struct vector3 line = vector3_subtract(balls[1].position, balls[0].position);

	return vector3_scale(1.0 / vector3_norm(line), line);
}

double outside_collision_approach(const struct ball_state balls[2])
{
	return vector3_dot(vector3_subtract(balls[0].velocity, balls[1].velocity),
	                   line_of_centres(balls));
}

/* Velocity of the surface of a ball at its point in direction n. */
static struct vector3 surface_velocity(const struct ball_state *ball, double radius,
                                       struct vector3 n)
{
	return vector3_add(ball->velocity, vector3_cross(ball->spin, vector3_scale(radius, n)));
}

/* A ball receives an impulse at its point in direction n. */
static void push(struct outside_collision *change, int which, const struct ball_body *body,
                 struct vector3 n, struct vector3 impulse)
{
	double inertia = 0.4 * body->mass * body->radius * body->radius;

	change->velocity[which] = vector3_scale(1.0 / body->mass, impulse);
	change->spin[which] =
	    vector3_scale(1.0 / inertia, vector3_cross(vector3_scale(body->radius, n), impulse));
}

struct outside_collision outside_collision_solve(const struct ball_state balls[2],
                                                 const struct ball_body bodies[2],
                                                 const struct outside_collision_law *law)
{
	struct vector3 n = line_of_centres(balls), back = vector3_scale(-1.0, n);
	struct vector3 relative =
	    vector3_subtract(surface_velocity(&balls[0], bodies[0].radius, n),
	                     surface_velocity(&balls[1], bodies[1].radius, back));
	double approach = vector3_dot(relative, n);
	struct vector3 slip = vector3_subtract(relative, vector3_scale(approach, n));
	double size = vector3_norm(slip);
	/* Masses side by side: along n, and across it, where a sphere's surface is 7/2 as easily
	 * moved as its centre. */
	double along = 1.0 / (1.0 / bodies[0].mass + 1.0 / bodies[1].mass);
	double across = 1.0 / (3.5 / bodies[0].mass + 3.5 / bodies[1].mass);
	double friction =
	    law->friction * sqrt(bodies[0].grip * bodies[1].grip) * exp(-law->fall * (size - 1.0));
	double normal = (1.0 + law->restitution) * along * approach;
	double tangential = fmin(friction * normal, across * size);
	struct vector3 impulse = vector3_scale(normal, n);
	struct outside_collision change;

	if (size > 0.0)
		impulse = vector3_add(impulse, vector3_scale(tangential / size, slip));
	push(&change, 0, &bodies[0], n, vector3_scale(-1.0, impulse));
	push(&change, 1, &bodies[1], back, impulse);
	return change;
}
