/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_RATES_H
#define RESTPOINT_PHYSICS_CUSHION_RATES_H

#include <stdbool.h>

/* The rates of a cushion impact per unit of normal impulse / mass, and what happens to a contact
 * whose slip has ended. Internal to src/physics; frame and equations of physics.md 2. */

/* The numbers that change during an impact, all in m/s but the work. */
enum impact_variable {
	IMPACT_VX,   /* velocity along the rail */
	IMPACT_VY,   /* velocity into the rail */
	IMPACT_RWX,  /* radius times spin about X */
	IMPACT_RWY,
	IMPACT_RWZ,
	IMPACT_WORK,    /* work on the cushion / mass [m^2/s^2] */
	IMPACT_IMPULSE, /* normal impulse at the nose / mass */
	IMPACT_VARIABLES
};

enum contact_place { CONTACT_NOSE, CONTACT_BED, CONTACT_PLACES };

/* A contact sticks, or its slip follows, or it slips freely. A small slip turns quickly to the
 * direction along which its rate points; once there it is said to follow: its direction is that
 * steady one with its first-order lag behind it (what is left out is of second order in the slip),
 * instead of being integrated, which would be stiff. */
struct contact_mode {
	bool sticks;
	bool follows;
	double direction[2]; /* unit direction while following, or when the slip has come to nothing */
};

struct impact {
	double sine, cosine;             /* of the nose's height above the centre */
	double friction[CONTACT_PLACES]; /* nose, bed */
	double smallest_slip;            /* below it a slip is zero [m/s] */
	double following_slip;           /* up to it a slip may follow [m/s] */
	struct contact_mode mode[CONTACT_PLACES];
};

/* Friction per unit of normal impulse at the nose, along the slip it opposes: at the nose along X
 * and the upward tangent, at the bed along X and Y. */
struct impact_friction {
	double force[CONTACT_PLACES][2];
	double bed_reaction; /* K, clamped at 0 */
	bool lifted;         /* K was clamped */
};

/* Slip of a contact at a state: along X and the nose's tangent, or along X and Y [m/s]. */
void impact_slip(const struct impact *impact, const double *state, enum contact_place place,
                 double slip[2]);

/* Friction of both contacts at a state, for their present modes. */
struct impact_friction impact_friction(const struct impact *impact, const double *state);

/* d(state)/d(impulse) for that friction. */
void impact_rates(const struct impact *impact, const double *state,
                  const struct impact_friction *friction, double *rates);

/* d(slip)/d(impulse) of a contact for that friction. */
void impact_slip_rate(const struct impact *impact, const struct impact_friction *friction,
                      enum contact_place place, double rate[2]);

/* How far a sticking contact is from the edge of its friction cone: positive inside. */
double impact_cone_margin(const struct impact *impact, const struct impact_friction *friction,
                          enum contact_place place);

/* Decides the modes of the contacts marked in ended, whose slip is zero: sticking where the
 * friction that keeps it zero lies inside the cone, else a slip starting in the direction that
 * its own friction then opposes. */
void impact_settle(struct impact *impact, const double *state, const bool ended[CONTACT_PLACES]);

/* Turns the direction of a following slip to where it belongs at a state. False when there is no
 * such direction near the one at hand, or it is not stable. */
bool impact_follow(struct impact *impact, const double *state, enum contact_place place);

#endif
