/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CLOTH_H
#define RESTPOINT_PHYSICS_CLOTH_H

#include <stdbool.h>

#include "model/constants.h"
#include "physics/ball.h"
#include "physics/slope_curve.h"

/* A ball on its way (physics.md 1), in closed form: in the air, sliding, then rolling, then at
 * rest, with the side spin falling on its own while the ball is on the bed. Sources: Coriolis, Theorie
 * mathematique des effets du jeu de billard (1835); Hopkins & Patterson, Am. J. Phys. 45, 263
 * (1977). Exact for constant friction, on a level bed and on one that slopes.
 *
 * A napped cloth: its fibres lean along the table. A ball that rolls presses them down before it and
 * leaves them rising behind it, and what they push it with leans as they do: besides the
 * resistance against the motion there is a constant push n g along the lean while the ball rolls. It
 * decelerates at (resistance - n) g with the nap and (resistance + n) g against it, and one that is
 * rolled across to rest over d drifts n d / (2 resistance) with the nap, for a small n (as on a
 * slope of 7/5 n, physics.md 1). A ball that slides does not feel it: there it would be some percent
 * of the friction. A model choice, the simplest with which drift and difference go together. */

enum cloth_phase { CLOTH_REST, CLOTH_ROLLING, CLOTH_SLIDING, CLOTH_FLYING };

/* One phase of motion. On a level bed and in the air the acceleration of the centre is constant. */
struct cloth_motion {
	enum cloth_phase phase;
	double duration;             /* until the phase ends [s]; infinite at rest */
	struct vector3 acceleration; /* of the centre, at the start of the motion [m/s^2] */
	struct vector3 spin_rate; /* d(spin)/dt of the horizontal part, likewise, z = 0 [rad/s^2] */
	double side_decay;        /* fall of |wz| [rad/s^2] */
	bool curved;              /* a phase on a slope: the acceleration turns */
	struct slope_curve curve; /* of the velocity, rolling, or the slip; only where curved */
};

/* The phase that starts from a state.
 *   constants  sliding_friction, rolling_resistance (deceleration / g), spin_friction, the slopes,
 *              the nap and bed_restitution are used; a ball must come to rest on the slopes (slope_stops)
 *   body       its grip multiplies sliding and spin friction, not rolling resistance
 * A slip below 1e-9 m/s is rolling, a rolling speed below 1e-9 m/s is rest. A ball flies when
 * bed_restitution is above 0 and it is more than 1e-12 m above the bed or moves up. */
struct cloth_motion cloth_motion_start(const struct ball_state *state, const struct ball_body *body,
                                       const struct constants *constants);

/* The same motion, from a later state of it: what cloth_motion_start would give there. */
struct cloth_motion cloth_motion_later(const struct cloth_motion *motion,
                                       const struct ball_state *state, double radius);

/* The state after `time` seconds of that phase, 0 <= time <= duration. At time = duration the
 * state obeys the next phase exactly: rolling without slip, no velocity, or down on the bed. */
struct ball_state cloth_advance(const struct ball_state *state, const struct cloth_motion *motion,
                                double radius, double time);

/* Acceleration of the centre and rate of the horizontal spin after `time` seconds of the phase, at
 * the duration those just before its end. */
void cloth_rates(const struct cloth_motion *motion, double radius, double time,
                 struct vector3 *acceleration, struct vector3 *spin_rate);

/* Seconds until the side spin of a state is gone; HUGE_VAL when nothing takes it away. */
double cloth_side_time(const struct ball_state *state, const struct cloth_motion *motion);

/* The largest distance of the centre from a line across x (axis 0) or y (axis 1), at `line`, over
 * `elapsed` seconds of the motion [m]. */
double cloth_farthest(const struct ball_state *state, const struct cloth_motion *motion,
                      double radius, int axis, double line, double elapsed);

/* The state once the ball rolls (or rests), with no rail or ball in its way; time receives how
 * long that takes [s] and may be NULL. Of a ball in the air: the state itself. */
struct ball_state cloth_roll_out(const struct ball_state *state, const struct ball_body *body,
                                 const struct constants *constants, double *time);

#endif
