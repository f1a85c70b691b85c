/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cue.h"

double cue_squirt(double side, double end_mass_ratio)
{
	double depth_squared = 1.0 - side * side;

	if (end_mass_ratio <= 0.0)
		return 0.0;
	return atan(2.5 * side * sqrt(depth_squared) /
	            (1.0 + end_mass_ratio + 2.5 * depth_squared));
}

void cue_strike(const struct stroke *stroke, double aim, double end_mass_ratio,
                const struct ball_body *body, struct ball_state *state)
{
	double squirt = cue_squirt(stroke->side, end_mass_ratio);
	double path = aim + stroke->turn + squirt;
	/* The impulse runs along the path, so the axis of follow and draw is square to that. */
	struct vector3 along = vector3_make(cos(path), sin(path), 0.0);
	struct vector3 right = vector3_make(along.y, -along.x, 0.0);
	/* The direction square to the cue's axis and to `right`: up for a level cue. */
	struct vector3 up = vector3_add(vector3_scale(sin(stroke->elevation), along),
	                                vector3_make(0.0, 0.0, cos(stroke->elevation)));
	double spin = 2.5 * stroke->speed / (cos(stroke->elevation) * body->radius);
	double side = stroke->side - sqrt(1.0 - stroke->side * stroke->side) * tan(squirt);

	state->velocity = vector3_scale(stroke->speed, along);
	state->spin = vector3_add(vector3_scale(spin * side, up),
	                          vector3_scale(-spin * stroke->height, right));
}

void cue_release(const struct stroke *stroke, double aim, double groove,
                 const struct ball_body *body, struct ball_state *state)
{
	double heading = aim + stroke->turn;
	double spin = stroke->speed / (sin(0.5 * groove) * body->radius);

	state->velocity = vector3_make(stroke->speed * cos(heading), stroke->speed * sin(heading), 0.0);
	state->spin = vector3_make(-spin * sin(heading), spin * cos(heading), 0.0);
}
