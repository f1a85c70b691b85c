/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_friction.h"

#include <math.h>

#define SCAN 720 /* directions tried for a slip that starts */
#define ROUNDS 200

/* Nose friction while the nose sticks and the bed slips along d, its reaction s + c ft: from
 * dtN/dP = 0. The reaction stays positive, for ft > -s/c whenever bed friction is below 1. */
static void stick_nose(const struct outside_cushion_law *law, const double *d,
                       struct outside_forces *forces)
{
	double s = law->sine, c = sqrt(1.0 - s * s), lever = 2.5 - s;
	double pull = lever * law->bed_friction * d[1], *f = forces->at[OUTSIDE_NOSE];
	double *g = forces->at[OUTSIDE_BED];

	f[1] = s * (c - pull) / (s * s + 2.5 + pull * c);
	forces->reaction = s + c * f[1];
	for (int i = 0; i < 2; i++)
		g[i] = law->bed_friction * fmax(0.0, forces->reaction) * d[i];
	f[0] = (2.5 * s - 1.0) * g[0] / 3.5;
}

static double held(const struct outside_friction *friction, double reaction)
{
	switch (friction->hold) {
	case OUTSIDE_PRESSED:
		return reaction;
	case OUTSIDE_LIFTED:
		return 0.0;
	default:
		return fmax(0.0, reaction);
	}
}

struct outside_forces outside_friction_forces(const struct outside_friction *friction,
                                              double direction[OUTSIDE_CONTACTS][2])
{
	const struct outside_cushion_law *law = friction->law;
	double s = law->sine, c = sqrt(1.0 - s * s);
	struct outside_forces forces;
	double *f = forces.at[OUTSIDE_NOSE], *g = forces.at[OUTSIDE_BED];
	bool bed_sticks = friction->mode[OUTSIDE_BED] == OUTSIDE_STICKS;

	if (friction->mode[OUTSIDE_NOSE] == OUTSIDE_SLIPS) {
		f[0] = law->friction * direction[OUTSIDE_NOSE][0];
		f[1] = law->friction * direction[OUTSIDE_NOSE][1];
		forces.reaction = s + c * f[1];
		if (bed_sticks) {
			g[0] = (2.5 * s - 1.0) * f[0] / 3.5;
			g[1] = -(c + (2.5 - s) * f[1]) / 3.5;
		} else {
			for (int i = 0; i < 2; i++)
				g[i] = law->bed_friction * held(friction, forces.reaction) *
				       direction[OUTSIDE_BED][i];
		}
	} else if (!bed_sticks) {
		stick_nose(law, direction[OUTSIDE_BED], &forces);
	} else { /* both rates zero: two equations for each axis */
		f[0] = g[0] = 0.0;
		f[1] = c / (1.0 + s);
		g[1] = -f[1];
		forces.reaction = s + c * f[1];
	}
	return forces;
}

double outside_friction_reserve(const struct outside_friction *friction,
                                const struct outside_forces *forces, enum outside_contact contact)
{
	const struct outside_cushion_law *law = friction->law;
	double most = contact == OUTSIDE_NOSE ? law->friction
	                                      : law->bed_friction * fmax(0.0, forces->reaction);

	return most - hypot(forces->at[contact][0], forces->at[contact][1]);
}

void outside_friction_slip_rate(const struct outside_cushion_law *law,
                                const struct outside_forces *forces, enum outside_contact contact,
                                double rate[2])
{
	const double *f = forces->at[OUTSIDE_NOSE], *g = forces->at[OUTSIDE_BED];
	double s = law->sine, c = sqrt(1.0 - s * s);

	if (contact == OUTSIDE_NOSE) {
		rate[0] = -3.5 * f[0] + (2.5 * s - 1.0) * g[0];
		rate[1] = s * c - (s * s + 2.5) * f[1] - (2.5 - s) * g[1];
	} else {
		rate[0] = (2.5 * s - 1.0) * f[0] - 3.5 * g[0];
		rate[1] = -c - (2.5 - s) * f[1] - 3.5 * g[1];
	}
}

void outside_friction_motion(double s, const struct outside_forces *forces,
                             double rates[OUTSIDE_MOTION])
{
	const double *f = forces->at[OUTSIDE_NOSE], *g = forces->at[OUTSIDE_BED];
	double c = sqrt(1.0 - s * s);

	rates[OUTSIDE_VX] = -(f[0] + g[0]);
	rates[OUTSIDE_VY] = -(c - s * f[1] + g[1]);
	rates[OUTSIDE_RWX] = -2.5 * (f[1] + g[1]);
	rates[OUTSIDE_RWY] = -2.5 * (s * f[0] - g[0]);
	rates[OUTSIDE_RWZ] = 2.5 * c * f[0];
}

/* The rate of the slip of a contact if it slipped at that angle: across the direction, along it. */
static void try_angle(const struct outside_friction *friction, enum outside_contact contact,
                      double direction[OUTSIDE_CONTACTS][2], double angle, double *across,
                      double *along)
{
	double *d = direction[contact], rate[2];
	struct outside_forces forces;

	d[0] = cos(angle);
	d[1] = sin(angle);
	forces = outside_friction_forces(friction, direction);
	outside_friction_slip_rate(friction->law, &forces, contact, rate);
	*across = d[0] * rate[1] - d[1] * rate[0];
	*along = d[0] * rate[0] + d[1] * rate[1];
}

/* The angle between low and high at which `across` falls through zero. */
static double halve(const struct outside_friction *friction, enum outside_contact contact,
                    double direction[OUTSIDE_CONTACTS][2], double low, double high)
{
	double across, along;

	for (int i = 0; i < 60; i++) {
		double middle = 0.5 * (low + high);

		try_angle(friction, contact, direction, middle, &across, &along);
		if (across > 0.0)
			low = middle;
		else
			high = middle;
	}
	return 0.5 * (low + high);
}

/* Finds the direction in which the slip of a contact starts; how many there are. */
static unsigned find_start(const struct outside_friction *friction, enum outside_contact contact,
                           double direction[OUTSIDE_CONTACTS][2])
{
	const double step = 6.283185307179586 / SCAN, shift = 0.0123; /* off the axes */
	double before, across, along, best = 0.0, best_along = 0.0;
	unsigned found = 0;

	try_angle(friction, contact, direction, shift - step, &before, &along);
	for (int i = 0; i < SCAN; i++) {
		double angle = shift + i * step, root;

		try_angle(friction, contact, direction, angle, &across, &along);
		if (before > 0.0 && across <= 0.0) {
			root = halve(friction, contact, direction, angle - step, angle);
			try_angle(friction, contact, direction, root, &before, &along);
			if (along > 0.0) {
				found++;
				if (along > best_along) {
					best_along = along;
					best = root;
				}
			}
		}
		before = across;
	}
	try_angle(friction, contact, direction, best, &across, &along);
	return found;
}

/* Finds the directions of the slips that start; where both do, each for the other's in turn, until
 * neither turns any more. */
static bool find_starts(const struct outside_friction *friction,
                        const bool starts[OUTSIDE_CONTACTS], const bool released[OUTSIDE_CONTACTS],
                        double direction[OUTSIDE_CONTACTS][2], unsigned *several)
{
	bool both = starts[OUTSIDE_NOSE] && starts[OUTSIDE_BED];
	double turned = 1.0;

	for (int round = 0; round < ROUNDS && turned > 1e-13; round++) {
		turned = 0.0;
		for (int k = 0; k < OUTSIDE_CONTACTS; k++) {
			double x = direction[k][0], y = direction[k][1];
			unsigned found;

			if (!starts[k])
				continue;
			found = find_start(friction, (enum outside_contact)k, direction);
			*several += found > 1;
			if (found == 0 && !released[k])
				return false;
			if (found == 0) {
				direction[k][0] = x;
				direction[k][1] = y;
			}
			turned = fmax(turned, hypot(direction[k][0] - x, direction[k][1] - y));
		}
		if (!both)
			return true;
	}
	return turned <= 1e-13;
}

/* Whether the contacts can go on in the modes of friction; starts[k]: the slip of k starts. */
static bool modes_fit(const struct outside_friction *friction, const bool starts[OUTSIDE_CONTACTS],
                      const bool released[OUTSIDE_CONTACTS], double direction[OUTSIDE_CONTACTS][2],
                      unsigned *several)
{
	struct outside_forces forces;

	if (!find_starts(friction, starts, released, direction, several))
		return false;
	forces = outside_friction_forces(friction, direction);
	for (int k = 0; k < OUTSIDE_CONTACTS; k++)
		if (friction->mode[k] == OUTSIDE_STICKS &&
		    outside_friction_reserve(friction, &forces, (enum outside_contact)k) < 0.0)
			return false;
	return true;
}

bool outside_friction_settle(struct outside_friction *friction, const bool still[OUTSIDE_CONTACTS],
                             const bool released[OUTSIDE_CONTACTS],
                             double direction[OUTSIDE_CONTACTS][2], unsigned *several)
{
	/* Sticking first: both, the nose alone, the bed alone, none. */
	for (int slipping = 0; slipping < 4; slipping++) {
		bool starts[OUTSIDE_CONTACTS];
		bool possible = true;

		starts[OUTSIDE_NOSE] = (slipping & 2) != 0;
		starts[OUTSIDE_BED] = (slipping & 1) != 0;
		for (int k = 0; k < OUTSIDE_CONTACTS; k++) {
			friction->mode[k] = still[k] && !starts[k] ? OUTSIDE_STICKS : OUTSIDE_SLIPS;
			possible =
			    possible && (still[k] || !starts[k]) && !(released[k] && !starts[k]);
		}
		if (possible && modes_fit(friction, starts, released, direction, several))
			return true;
	}
	return false;
}
