/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_FREE_H
#define RESTPOINT_PHYSICS_CUSHION_FREE_H

#include <stdbool.h>

#include "physics/cushion.h"

/* A ball that touches only the nose of a cushion, not the bed: in flight, or lifted within an
 * impact (physics.md 2 and 5). Frame of cushion.h: X along the rail, Y into it, Z up. The nose lies
 * in the direction n = (0, c, s) from the centre, s = contact->nose_sine = (height of the nose -
 * height of the centre) / radius, negative for a ball above the nose.
 *
 * All of it is a closed form. The normal speed v . n falls by the normal impulse / mass and by
 * nothing else, so that energetic and Newton's restitution are the same; the slip keeps its
 * direction and falls by 7/2 of the friction, until it ends: then there is no friction, for a push
 * through the centre starts no slip. Structure: Han, J. Mech. Sci. Technol. 19, 976 (2005) (value
 * from memory). */

/* A whole impact in the air.
 *   contact     nose_sine, restitution (clamped to [0, 1]) and friction are used
 *   velocity    [m/s], v . n > 0; vertical velocity is kept, and changes
 *   spin_speed  radius * spin [m/s]
 *   outcome     may be NULL; approach is v . n, sticks is 1 when the slip ended
 * Numbers of any unit of speed may be given: all changes are in proportion.
 * STATUS_OK, or STATUS_INTERNAL when the ball does not approach the nose, a number is not finite or
 * |nose_sine| >= 1; velocity and spin_speed are then unchanged. */
enum status cushion_free_solve(const struct cushion_contact *contact, struct vector3 *velocity,
                               struct vector3 *spin_speed, struct cushion_outcome *outcome);

/* Whether a ball on the bed leaves it as soon as it meets the nose: friction there lifts it by more
 * than the normal force presses it down, K = s + friction c b < 0 (b: the part of the slip's
 * direction along (0, -s, c)). Arguments as cushion_free_solve. */
bool cushion_lifts(const struct cushion_contact *contact, struct vector3 velocity,
                   struct vector3 spin_speed);

/* A hop: a part of an impact that began with the bed in contact, from where the bed's reaction
 * K is gone. From there dvz = -K per impulse / mass, and work counts v . n. */
struct free_impact {
	struct vector3 velocity, spin_speed; /* in one unit of speed */
	double work;    /* on the cushion / mass so far; giving back: what is left to give */
	double impulse; /* normal, at the nose / mass, so far */
};

enum free_part {
	FREE_COMPRESSION, /* ends where v . n is 0 */
	FREE_RESTITUTION  /* ends where work is 0; v . n <= 0 and work >= 0 at its start */
};

enum free_end {
	FREE_PART_ENDED,
	FREE_BED_BACK /* velocity.z came down to 0, and the nose presses the ball on: K > 0 */
};

/* Runs to the end of the part, or until the bed is back in contact. A ball that is on the bed and
 * pressed down at the start is back at once: nothing changes. Finite numbers, |nose_sine| < 1;
 * contact->restitution is not used. */
enum free_end free_impact_advance(const struct cushion_contact *contact, enum free_part part,
                                  struct free_impact *impact);

#endif
