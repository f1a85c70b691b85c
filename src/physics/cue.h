/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUE_H
#define RESTPOINT_PHYSICS_CUE_H

#include "model/stroke.h"
#include "physics/ball.h"

/* Cue on ball (physics.md 4). */

/* The angle by which the ball leaves beside the aim, away from the side struck [rad]; positive for
 * side > 0 (the ball goes to the left then).
 *   side            tip offset as a fraction of the radius, |side| < 1
 *   end_mass_ratio  ball mass / effective end mass of the cue; 0: none is known, no squirt
 * Source: Shepard (2001), the same form as in Cross, Am. J. Phys. 76, 205 (2008). */
double cue_squirt(double side, double end_mass_ratio);

/* Sets a resting ball going: velocity and spin of *state receive those just after the strike.
 *   aim              direction of the cue on the table, counter-clockwise from +x [rad];
 *                    stroke->turn is added
 *   bed_restitution  in [0, 1]; 0: the ball stays on the bed
 * With an elevated cue, side and height lie in the plane square to its axis, side spin gains a
 * component along the shot, and the bed takes up the downward part of the impulse, speed times
 * tan(elevation) per mass; it gives bed_restitution of that back, and the ball jumps. Friction of
 * the bed during the strike is neglected. Elevation below a right angle. */
void cue_strike(const struct stroke *stroke, double aim, double end_mass_ratio,
                double bed_restitution, const struct ball_body *body, struct ball_state *state);

/* The same for a ball released by a ramp with a groove of full angle groove [rad], pi for a flat
 * one: it leaves with R w = v / sin(groove / 2). Uses stroke->speed and stroke->turn. */
void cue_release(const struct stroke *stroke, double aim, double groove,
                 const struct ball_body *body, struct ball_state *state);

/* What the state just after a strike depends on, in the order of struct stroke. */
enum cue_input { CUE_SPEED, CUE_TURN, CUE_HEIGHT, CUE_SIDE, CUE_ELEVATION, CUE_IN };

#define CUE_OUT 5 /* velocity x, y [m/s], spin x, y, z [rad/s] */

/* Derivatives by speed [m/s], turn [rad], height and side [radii] and elevation [rad]. The vertical
 * velocity of a jump, bed_restitution * speed * tan(elevation), is not among them. */
struct cue_slopes {
	double by[CUE_OUT][CUE_IN];
};

/* The exact derivatives of cue_strike and of cue_release (zero there but for speed and turn);
 * arguments as there. */
void cue_strike_slopes(const struct stroke *stroke, double aim, double end_mass_ratio,
                       const struct ball_body *body, struct cue_slopes *slopes);
void cue_release_slopes(const struct stroke *stroke, double aim, double groove,
                        const struct ball_body *body, struct cue_slopes *slopes);

#endif
