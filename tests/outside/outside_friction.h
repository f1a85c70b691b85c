/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_FRICTION_H
#define RESTPOINT_TESTS_OUTSIDE_FRICTION_H

#include <stdbool.h>

#include "outside_cushion.h"

/* Friction at the nose and at the bed within an impact (physics.md 2): what the two contacts
 * exert, as they slip or stick, and how a contact without slip goes on.
 *
 * With forces per unit of normal impulse f = (fx, ft) at the nose and g = (gx, gy) at the bed,
 * each against its slip, the equations of physics.md 2 give for the slips, mass and radius being
 * 1,
 *     dxN/dP = -7/2 fx + (5/2 s - 1) gx
 *     dtN/dP = s c - (s^2 + 5/2) ft - (5/2 - s) gy
 *     dxB/dP = (5/2 s - 1) fx - 7/2 gx
 *     dyB/dP = -c - (5/2 - s) ft - 7/2 gy
 * Sticking is f or g such that the slip's rate is zero. A slip that starts from zero has the one
 * direction parallel to its own rate: with d the direction and r(d) the rate that friction against
 * d leaves, d x r = 0 and d . r > 0. Of several such directions the one is taken that attracts its
 * neighbours, since |slip| d(angle)/dP = d x r: d x r falls through zero as the angle grows. */

enum outside_contact { OUTSIDE_NOSE, OUTSIDE_BED, OUTSIDE_CONTACTS };
enum outside_mode { OUTSIDE_SLIPS, OUTSIDE_STICKS };

/* The bed's reaction while both contacts slip: s + friction c b where that is positive, else 0; or
 * the one or the other whatever its sign, so that a step has no kink. */
enum outside_hold { OUTSIDE_EITHER, OUTSIDE_PRESSED, OUTSIDE_LIFTED };

struct outside_friction {
	const struct outside_cushion_law *law;
	enum outside_mode mode[OUTSIDE_CONTACTS];
	enum outside_hold hold;
};

/* Forces of both contacts per unit of normal impulse. */
struct outside_forces {
	double at[OUTSIDE_CONTACTS][2];
	double reaction; /* s + friction c b; the bed's is 0 where that is below 0 */
};

/* The forces; direction[k] is the unit vector of the slip of contact k, not read where it
 * sticks. */
struct outside_forces outside_friction_forces(const struct outside_friction *friction,
                                              double direction[OUTSIDE_CONTACTS][2]);

/* The largest force of a contact less the one that it exerts: below zero it cannot stick. */
double outside_friction_reserve(const struct outside_friction *friction,
                                const struct outside_forces *forces, enum outside_contact contact);

/* The rate of the slip of a contact. */
void outside_friction_slip_rate(const struct outside_cushion_law *law,
                                const struct outside_forces *forces, enum outside_contact contact,
                                double rate[2]);

/* The rates of the motion per normal impulse, physics.md 2 with mass and radius 1; s is the sine of
 * the nose. */
void outside_friction_motion(double s, const struct outside_forces *forces,
                             double rates[OUTSIDE_MOTION]);

/* Decides how the contacts go on: those of `still` have no slip, those of `released` cannot stick.
 * friction->mode and, where a slip starts, its direction receive the answer; for a released contact
 * direction holds the one in which friction pulled last, used where no other is found. False when
 * nothing fits; *several is counted up where more than one direction did. */
bool outside_friction_settle(struct outside_friction *friction, const bool still[OUTSIDE_CONTACTS],
                             const bool released[OUTSIDE_CONTACTS],
                             double direction[OUTSIDE_CONTACTS][2], unsigned *several);

#endif
