/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_rates.h"

#include <math.h>

void impact_slip(const struct impact *impact, const double *state, enum contact_place place,
                 double slip[2])
{
	if (place == CONTACT_NOSE) {
		slip[0] = state[IMPACT_VX] + state[IMPACT_RWY] * impact->sine -
		          state[IMPACT_RWZ] * impact->cosine;
		slip[1] = -state[IMPACT_VY] * impact->sine + state[IMPACT_RWX];
	} else {
		slip[0] = state[IMPACT_VX] - state[IMPACT_RWY];
		slip[1] = state[IMPACT_VY] + state[IMPACT_RWX];
	}
}

static void slip_direction(const struct impact *impact, const double *state,
                           enum contact_place place, double direction[2])
{
	double slip[2], size;

	impact_slip(impact, state, place, slip);
	size = sqrt(slip[0] * slip[0] + slip[1] * slip[1]);
	if (size > impact->smallest_slip && !impact->mode[place].follows) {
		direction[0] = slip[0] / size;
		direction[1] = slip[1] / size;
	} else {
		direction[0] = impact->mode[place].direction[0];
		direction[1] = impact->mode[place].direction[1];
	}
}

/* The bed slides with friction (gx, gy) = mu K (p, q), K = s + c ft: the upward friction ft that
 * keeps the nose from slipping then follows from a linear equation, and fx from gx. */
static void stick_nose_over_sliding_bed(const struct impact *impact, const double direction[2],
                                        struct impact_friction *friction)
{
	double s = impact->sine, c = impact->cosine;
	double drag = impact->friction[CONTACT_BED];
	double lever = (s - 2.5) * drag * direction[1];
	double up = (s * c + lever * s) / (s * s + 2.5 - lever * c);

	friction->bed_reaction = fmax(0.0, s + c * up);
	friction->force[CONTACT_BED][0] = drag * friction->bed_reaction * direction[0];
	friction->force[CONTACT_BED][1] = drag * friction->bed_reaction * direction[1];
	friction->force[CONTACT_NOSE][1] = up;
	friction->force[CONTACT_NOSE][0] =
	    -friction->force[CONTACT_BED][0] * (1.0 - 2.5 * s) / 3.5;
}

static void stick_both(const struct impact *impact, struct impact_friction *friction)
{
	double s = impact->sine, c = impact->cosine, lever = 2.5 - s;
	double up = c * (s + lever / 3.5) / (s * s + 2.5 - lever * lever / 3.5);

	friction->force[CONTACT_NOSE][0] = 0.0;
	friction->force[CONTACT_NOSE][1] = up;
	friction->force[CONTACT_BED][0] = 0.0;
	friction->force[CONTACT_BED][1] = -(c + lever * up) / 3.5;
	friction->bed_reaction = fmax(0.0, s + c * up);
}

/* Friction of the bed once that of the nose is known. */
static void friction_bed(const struct impact *impact, const double *state,
                         struct impact_friction *friction)
{
	const double *nose = friction->force[CONTACT_NOSE];
	double *bed = friction->force[CONTACT_BED];
	double direction[2];

	friction->bed_reaction = fmax(0.0, impact->sine + impact->cosine * nose[1]);
	if (impact->mode[CONTACT_BED].sticks) {
		bed[0] = -nose[0] * (1.0 - 2.5 * impact->sine) / 3.5;
		bed[1] = -(impact->cosine + (2.5 - impact->sine) * nose[1]) / 3.5;
		return;
	}
	slip_direction(impact, state, CONTACT_BED, direction);
	bed[0] = impact->friction[CONTACT_BED] * friction->bed_reaction * direction[0];
	bed[1] = impact->friction[CONTACT_BED] * friction->bed_reaction * direction[1];
}

struct impact_friction impact_friction(const struct impact *impact, const double *state)
{
	struct impact_friction friction = {.bed_reaction = 0.0};
	double direction[2];

	if (impact->mode[CONTACT_NOSE].sticks && impact->mode[CONTACT_BED].sticks) {
		stick_both(impact, &friction);
	} else if (impact->mode[CONTACT_NOSE].sticks) {
		slip_direction(impact, state, CONTACT_BED, direction);
		stick_nose_over_sliding_bed(impact, direction, &friction);
	} else {
		slip_direction(impact, state, CONTACT_NOSE, direction);
		friction.force[CONTACT_NOSE][0] = impact->friction[CONTACT_NOSE] * direction[0];
		friction.force[CONTACT_NOSE][1] = impact->friction[CONTACT_NOSE] * direction[1];
		friction_bed(impact, state, &friction);
	}
	friction.lifted = impact->sine + impact->cosine * friction.force[CONTACT_NOSE][1] < 0.0;
	return friction;
}

void impact_rates(const struct impact *impact, const double *state,
                  const struct impact_friction *friction, double *rates)
{
	const double *nose = friction->force[CONTACT_NOSE], *bed = friction->force[CONTACT_BED];
	double s = impact->sine, c = impact->cosine;

	rates[IMPACT_VX] = -(nose[0] + bed[0]);
	rates[IMPACT_VY] = -(c - s * nose[1] + bed[1]);
	rates[IMPACT_RWX] = -2.5 * (nose[1] + bed[1]);
	rates[IMPACT_RWY] = -2.5 * (s * nose[0] - bed[0]);
	rates[IMPACT_RWZ] = 2.5 * c * nose[0];
	rates[IMPACT_WORK] = c * state[IMPACT_VY];
	rates[IMPACT_IMPULSE] = 1.0;
}

void impact_slip_rate(const struct impact *impact, const struct impact_friction *friction,
                      enum contact_place place, double rate[2])
{
	const double *nose = friction->force[CONTACT_NOSE], *bed = friction->force[CONTACT_BED];
	double s = impact->sine, c = impact->cosine;

	if (place == CONTACT_NOSE) {
		rate[0] = -3.5 * nose[0] - (1.0 - 2.5 * s) * bed[0];
		rate[1] = s * c - (s * s + 2.5) * nose[1] + (s - 2.5) * bed[1];
	} else {
		rate[0] = -(1.0 - 2.5 * s) * nose[0] - 3.5 * bed[0];
		rate[1] = -c - (2.5 - s) * nose[1] - 3.5 * bed[1];
	}
}

double impact_cone_margin(const struct impact *impact, const struct impact_friction *friction,
                          enum contact_place place)
{
	const double *force = friction->force[place];
	double pressure = place == CONTACT_NOSE ? 1.0 : friction->bed_reaction;

	return impact->friction[place] * pressure - sqrt(force[0] * force[0] + force[1] * force[1]);
}

/* The part of the slip's rate that would turn it, for a slip of that angle. */
static double turning_rate(struct impact *impact, const double *state, enum contact_place place,
                           double angle)
{
	struct impact_friction friction;
	double *direction = impact->mode[place].direction;
	double rate[2];

	direction[0] = cos(angle);
	direction[1] = sin(angle);
	friction = impact_friction(impact, state);
	impact_slip_rate(impact, &friction, place, rate);
	return direction[0] * rate[1] - direction[1] * rate[0];
}

/* The angle near a first guess at which the rate of a small slip points along it, by Newton's
 * method; slope receives d(turning rate)/d(angle) there, negative where such a slip is stable. */
static double steady_angle(struct impact *impact, const double *state, enum contact_place place,
                           double angle, double *slope)
{
	double turning = turning_rate(impact, state, place, angle);

	for (int round = 0; round < 20; round++) {
		*slope = (turning_rate(impact, state, place, angle + 1e-6) - turning) / 1e-6;
		if (fabs(turning) < 1e-13)
			break;
		if (!(*slope < 0.0)) /* away from the answer: step along the turn instead */
			*slope = -1.0;
		angle -= fmax(-0.7, fmin(0.7, turning / *slope));
		turning = turning_rate(impact, state, place, angle);
	}
	return angle;
}

bool impact_follow(struct impact *impact, const double *state, enum contact_place place)
{
	const double ahead = 1e-6; /* impulse over which the steady angle is followed */
	double *direction = impact->mode[place].direction;
	double slip[2], rates[IMPACT_VARIABLES], moved[IMPACT_VARIABLES], slope, unused;
	double angle = steady_angle(impact, state, place, atan2(direction[1], direction[0]), &slope);
	struct impact_friction friction = impact_friction(impact, state);

	impact_rates(impact, state, &friction, rates);
	for (int i = 0; i < IMPACT_VARIABLES; i++)
		moved[i] = state[i] + ahead * rates[i];
	impact_slip(impact, state, place, slip);
	/* The slip lags behind the steady angle by slip * d(angle)/d(impulse) / |slope|. */
	angle += sqrt(slip[0] * slip[0] + slip[1] * slip[1]) / slope *
	         (steady_angle(impact, moved, place, angle, &unused) - angle) / ahead;
	direction[0] = cos(angle);
	direction[1] = sin(angle);
	return slope < 0.0 && isfinite(angle);
}

/* Lets a contact slip, starting from the direction in which sticking would need its friction. */
static void settle_slipping(struct impact *impact, const double *state, enum contact_place place)
{
	struct impact_friction friction = impact_friction(impact, state);
	struct contact_mode *mode = &impact->mode[place];
	const double *force = friction.force[place];
	double size = sqrt(force[0] * force[0] + force[1] * force[1]);

	mode->sticks = false;
	mode->follows = true;
	mode->direction[0] = size > 0.0 ? force[0] / size : 1.0;
	mode->direction[1] = size > 0.0 ? force[1] / size : 0.0;
	impact_follow(impact, state, place);
}

void impact_settle(struct impact *impact, const double *state, const bool ended[CONTACT_PLACES])
{
	struct impact_friction friction;

	for (int place = 0; place < CONTACT_PLACES; place++)
		if (ended[place]) {
			impact->mode[place].sticks = true;
			impact->mode[place].follows = false;
		}
	friction = impact_friction(impact, state);
	/* The bed first: it is the one that seldom holds, and the nose's answer depends on it. */
	if (ended[CONTACT_BED] && impact_cone_margin(impact, &friction, CONTACT_BED) < 0.0) {
		settle_slipping(impact, state, CONTACT_BED);
		friction = impact_friction(impact, state);
	}
	if (ended[CONTACT_NOSE] && impact_cone_margin(impact, &friction, CONTACT_NOSE) < 0.0) {
		settle_slipping(impact, state, CONTACT_NOSE);
		if (ended[CONTACT_BED] && !impact->mode[CONTACT_BED].sticks)
			impact_follow(impact, state, CONTACT_BED);
	}
}
