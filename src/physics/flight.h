/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_FLIGHT_H
#define RESTPOINT_PHYSICS_FLIGHT_H

#include <stdbool.h>

#include "model/constants.h"
#include "physics/ball.h"

/* A ball that comes down on the bed (physics.md 5). Between landings it flies freely, its spin
 * constant: src/physics/cloth.h has that motion. */

/* A bounce slower than this upward is none: the ball stays down [m/s]. It would rise 0.02 mm. */
#define FLIGHT_LOWEST 0.02

/* True for a ball that has left the bed or is about to: its centre above its radius [m], or moving
 * up. Always false when constants->terms.bed_restitution is 0: such balls stay on the bed. */
bool flight_airborne(const struct ball_state *state, double radius,
                     const struct constants *constants);

/* A ball lands, or a contact presses it into the bed: velocity.z < 0. The bed turns that round,
 * times terms.bed_restitution. Meanwhile friction acts in proportion to the normal impulse, as it
 * does on the bed in the long run: sliding_friction against the slip, up to the 2/7 of mass times
 * slip that end it, and spin_friction against the side spin, until that is gone; both times the
 * grip of the ball. So a ball that hops along loses side spin as fast as one that stays down.
 * Afterwards position.z is the radius, and velocity.z is 0 or at least FLIGHT_LOWEST.
 * The bed counts as level here: of a slope as tables have, some millimetres a metre, the tilt of
 * the normal would turn the velocity by as many thousandths. */
void flight_land(struct ball_state *state, const struct ball_body *body,
                 const struct constants *constants);

#endif
