/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "outside_solver.h"

/* In a frame with x along the shot, y to its left and z up, with mass and radius 1: the impulse
 * along the cue's axis d at the point r, |r| = 1, makes R w = 5/2 r x J. */
void outside_strike(double speed, double aim, double side, double height, double elevation,
                    double end_mass_ratio, double radius, struct ball_state *state)
{
	double depth = sqrt(1.0 - side * side);
	double bend = end_mass_ratio > 0.0
	                  ? 2.5 * side * depth / (1.0 + end_mass_ratio + 2.5 * depth * depth)
	                  : 0.0;
	double heading = aim + atan(bend), c = cos(heading), s = sin(heading);
	struct vector3 d = {cos(elevation), 0.0, -sin(elevation)};
	struct vector3 up = {sin(elevation), 0.0, cos(elevation)}, right = {0.0, -1.0, 0.0};
	struct vector3 at =
	    vector3_add(vector3_scale(side - depth * bend, right), vector3_scale(height, up));
	struct vector3 spin =
	    vector3_scale(2.5 * speed / (cos(elevation) * radius), vector3_cross(at, d));

	state->velocity = vector3_make(speed * c, speed * s, 0.0);
	state->spin = vector3_make(spin.x * c - spin.y * s, spin.x * s + spin.y * c, spin.z);
}
