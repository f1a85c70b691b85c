/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CLOTH_H
#define RESTPOINT_PHYSICS_CLOTH_H

#include "model/constants.h"
#include "physics/ball.h"

/* A ball on a level bed (physics.md 1), in closed form: sliding, then rolling, then at rest, with
 * the side spin falling on its own. Sources: Coriolis, Theorie mathematique des effets du jeu de
 * billard (1835); Hopkins & Patterson, Am. J. Phys. 45, 263 (1977). Exact for constant friction. */

enum cloth_phase { CLOTH_REST, CLOTH_ROLLING, CLOTH_SLIDING };

/* One phase of motion, during which the acceleration of the centre is constant. */
struct cloth_motion {
	enum cloth_phase phase;
	double duration;             /* until the phase ends [s]; infinite at rest */
	struct vector3 acceleration; /* of the centre [m/s^2], z = 0 */
	struct vector3 spin_rate;    /* d(spin)/dt of the horizontal part [rad/s^2], z = 0 */
	double side_decay;           /* fall of |wz| [rad/s^2] */
};

/* The phase that starts from a state on the bed.
 *   constants  sliding_friction, rolling_resistance (deceleration / g), spin_friction are used
 *   body       its grip multiplies sliding and spin friction, not rolling resistance
 * A slip below 1e-9 m/s is rolling, a rolling speed below 1e-9 m/s is rest. */
struct cloth_motion cloth_motion_start(const struct ball_state *state,
                                       const struct ball_body *body,
                                       const struct constants *constants);

/* The state after `time` seconds of that phase, 0 <= time <= duration. At time = duration the
 * state obeys the next phase exactly: rolling without slip, or no velocity. */
struct ball_state cloth_advance(const struct ball_state *state, const struct cloth_motion *motion,
                                double radius, double time);

/* Seconds until the side spin of a state is gone; HUGE_VAL when nothing takes it away. */
double cloth_side_time(const struct ball_state *state, const struct cloth_motion *motion);

/* The state once the ball rolls (or rests), with no rail or ball in its way; time receives how
 * long that takes [s] and may be NULL. */
struct ball_state cloth_roll_out(const struct ball_state *state, const struct ball_body *body,
                                 const struct constants *constants, double *time);

#endif
