/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_rates.h"

#include <math.h>

struct impact impact_make(double sine, double nose_friction, double bed_friction)
{
	double cosine = sqrt(1.0 - sine * sine);

	/* A force through the centre moves a contact by 1 / m; one across it by R^2 / I = 2.5 / m
	 * more, times the cosines between the levers of the two contacts. */
	return (struct impact){
	    .sine = sine,
	    .cosine = cosine,
	    .friction = {nose_friction, bed_friction},
	    .normal = {{0.0, sine * cosine}, {0.0, -cosine}},
	    .own = {{3.5, sine * sine + 2.5}, {3.5, 3.5}},
	    .shared = {1.0 - 2.5 * sine, 2.5 - sine},
	};
}

/* The reaction that the friction of the bed has to do with. */
static double bearing(const struct impact *impact, const struct friction *friction)
{
	return impact->lifted ? 0.0 : friction->reaction;
}

/* What friction alone does to the slips. */
static void set_slip_rates(const struct impact *impact, struct friction *friction)
{
	vector2 nose = friction->force[CONTACT_NOSE], bed = friction->force[CONTACT_BED];

	friction->rate[CONTACT_NOSE] = -impact->own[CONTACT_NOSE] * nose - impact->shared * bed;
	friction->rate[CONTACT_BED] = -impact->shared * nose - impact->own[CONTACT_BED] * bed;
}

/* With the nose sticking over a sliding bed the upward friction and the reaction depend on each
 * other; the equation that keeps the nose from slipping is linear in the friction, with this
 * factor. */
static double stick_factor(const struct impact *impact)
{
	return impact->own[CONTACT_NOSE][1] + impact->shared[1] * impact->friction[CONTACT_BED] *
	                                          impact->cosine *
	                                          impact->direction[CONTACT_BED][1];
}

static void stick_both(const struct impact *impact, struct friction *friction)
{
	vector2 nose_own = impact->own[CONTACT_NOSE], bed_own = impact->own[CONTACT_BED];
	vector2 nose = impact->normal[CONTACT_NOSE], bed = impact->normal[CONTACT_BED];

	friction->force[CONTACT_NOSE] = (bed_own * nose - impact->shared * bed) /
	                                (nose_own * bed_own - impact->shared * impact->shared);
	friction->force[CONTACT_BED] =
	    (bed - impact->shared * friction->force[CONTACT_NOSE]) / bed_own;
	friction->reaction = impact->sine + impact->cosine * friction->force[CONTACT_NOSE][1];
}

static void stick_nose_over_sliding_bed(const struct impact *impact, struct friction *friction)
{
	double drag = impact->friction[CONTACT_BED];
	vector2 bed = impact->direction[CONTACT_BED];
	double up =
	    (impact->normal[CONTACT_NOSE][1] - impact->shared[1] * drag * impact->sine * bed[1]) /
	    stick_factor(impact);

	friction->reaction = impact->sine + impact->cosine * up;
	friction->force[CONTACT_BED] = drag * friction->reaction * bed;
	friction->force[CONTACT_NOSE] =
	    (vector2){-friction->force[CONTACT_BED][0] * impact->shared[0] / 3.5, up};
}

void friction_find(const struct impact *impact, struct friction *friction)
{
	vector2 *nose = &friction->force[CONTACT_NOSE], *bed = &friction->force[CONTACT_BED];
	bool bed_sticks = impact->motion[CONTACT_BED] == CONTACT_STICKS;

	if (impact->motion[CONTACT_NOSE] == CONTACT_STICKS && bed_sticks) {
		stick_both(impact, friction);
	} else if (impact->motion[CONTACT_NOSE] == CONTACT_STICKS) {
		stick_nose_over_sliding_bed(impact, friction);
	} else {
		*nose = impact->friction[CONTACT_NOSE] * impact->direction[CONTACT_NOSE];
		friction->reaction = impact->sine + impact->cosine * (*nose)[1];
		if (bed_sticks)
			*bed = (impact->normal[CONTACT_BED] - impact->shared * *nose) /
			       impact->own[CONTACT_BED];
		else
			*bed = impact->friction[CONTACT_BED] * bearing(impact, friction) *
			       impact->direction[CONTACT_BED];
	}
	set_slip_rates(impact, friction);
	friction->rate[CONTACT_NOSE] += impact->normal[CONTACT_NOSE];
	friction->rate[CONTACT_BED] += impact->normal[CONTACT_BED];
}

/* The change of friction and slip rates with one of the friction that a sliding nose has, and of
 * what a sliding bed has but for the answer of its reaction. */
static void answer(const struct impact *impact, vector2 nose_friction, vector2 bed_friction,
                   struct friction *change)
{
	vector2 *nose = &change->force[CONTACT_NOSE], *bed = &change->force[CONTACT_BED];
	bool nose_sticks = impact->motion[CONTACT_NOSE] == CONTACT_STICKS;
	bool bed_sticks = impact->motion[CONTACT_BED] == CONTACT_STICKS;

	*nose = (vector2){0.0, 0.0};
	if (!nose_sticks)
		*nose = nose_friction;
	else if (!bed_sticks)
		(*nose)[1] = -impact->shared[1] * bed_friction[1] / stick_factor(impact);
	change->reaction = impact->cosine * (*nose)[1];
	if (bed_sticks) {
		*bed = -impact->shared * *nose / impact->own[CONTACT_BED];
	} else {
		*bed = bed_friction + impact->friction[CONTACT_BED] * bearing(impact, change) *
		                          impact->direction[CONTACT_BED];
		if (nose_sticks)
			(*nose)[0] = -(*bed)[0] * impact->shared[0] / 3.5;
	}
	set_slip_rates(impact, change);
}

void friction_change(const struct impact *impact, const struct friction *friction,
                     const vector2 direction[CONTACT_PLACES], vector2 rest, struct friction *change)
{
	answer(impact, impact->friction[CONTACT_NOSE] * direction[CONTACT_NOSE],
	       impact->friction[CONTACT_BED] *
	           (bearing(impact, friction) * direction[CONTACT_BED] + rest),
	       change);
}

void friction_respond(const struct impact *impact, const struct friction *friction,
                      const vector2 grip[CONTACT_PLACES], struct friction *change)
{
	answer(impact, grip[CONTACT_NOSE], bearing(impact, friction) * grip[CONTACT_BED], change);
}

double friction_turn_slope(const struct impact *impact, const struct friction *friction,
                           enum contact_place turned, enum contact_place changed)
{
	vector2 turn[CONTACT_PLACES] = {{0.0, 0.0}, {0.0, 0.0}};
	struct friction change;
	double slope;

	turn[changed] = vector2_turn(impact->direction[changed]);
	friction_change(impact, friction, turn, (vector2){0.0, 0.0}, &change);
	slope = vector2_cross(impact->direction[turned], change.rate[turned]);
	if (turned == changed)
		slope -= vector2_dot(impact->direction[turned], friction->rate[turned]);
	return slope;
}

double friction_cone_margin(const struct impact *impact, const struct friction *friction,
                            enum contact_place place)
{
	double most = impact->friction[place];

	if (place == CONTACT_BED)
		most *= bearing(impact, friction);
	return most * most - vector2_dot(friction->force[place], friction->force[place]);
}

void impact_turn(struct impact *impact, enum contact_place place, double angle)
{
	vector2 direction = impact->direction[place];

	impact->direction[place] = cos(angle) * direction + sin(angle) * vector2_turn(direction);
}

void impact_lift(struct impact *impact)
{
	impact->lifted = impact->motion[CONTACT_NOSE] != CONTACT_STICKS &&
	                 impact->sine + impact->cosine * impact->friction[CONTACT_NOSE] *
	                                    impact->direction[CONTACT_NOSE][1] <
	                     0.0;
}

/* Turns the direction of a slip that starts from zero to where its rate points along it, by
 * Newton's method. Returns how far it was turned in all. */
static double turn_to_rate(struct impact *impact, enum contact_place place)
{
	double turned = 0.0;

	for (int round = 0; round < 40; round++) {
		struct friction friction;
		double slope, angle;

		impact_lift(impact);
		friction_find(impact, &friction);
		slope = friction_turn_slope(impact, &friction, place, place);
		if (!(slope < 0.0)) /* away from the answer: step along the turn instead */
			slope = -1.0;
		angle = -vector2_cross(impact->direction[place], friction.rate[place]) / slope;
		angle = fmax(-0.7, fmin(0.7, angle));
		if (fabs(angle) < 1e-16)
			break;
		impact_turn(impact, place, angle);
		turned += fabs(angle);
		if (fabs(angle) < 1e-9) /* the next step would be of the size of rounding */
			break;
	}
	impact_lift(impact);
	return turned;
}

/* Lets a contact go, starting in the direction in which sticking would need its friction. */
static void let_go(struct impact *impact, enum contact_place place)
{
	struct friction friction;
	vector2 force;
	double size;

	friction_find(impact, &friction);
	force = friction.force[place];
	size = sqrt(vector2_dot(force, force));
	impact->motion[place] = CONTACT_FOLLOWS;
	impact->direction[place] = size > 0.0 ? force / size : (vector2){1.0, 0.0};
	turn_to_rate(impact, place);
}

/* Two slips that start at once turn each other: settle them in turns. */
static void turn_both(struct impact *impact)
{
	for (int round = 0; round < 60; round++) {
		double turned = turn_to_rate(impact, CONTACT_NOSE);

		if (turned + turn_to_rate(impact, CONTACT_BED) < 1e-15)
			break;
	}
}

static bool holds(const struct impact *impact, enum contact_place place)
{
	struct friction friction;

	friction_find(impact, &friction);
	return friction_cone_margin(impact, &friction, place) >= 0.0;
}

void impact_settle(struct impact *impact, const bool ended[CONTACT_PLACES])
{
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (ended[place])
			impact->motion[place] = CONTACT_STICKS;
	impact_lift(impact);
	/* The bed first: it is the one that seldom holds, and the nose's answer depends on it. */
	if (ended[CONTACT_BED] && !holds(impact, CONTACT_BED))
		let_go(impact, CONTACT_BED);
	if (ended[CONTACT_NOSE] && !holds(impact, CONTACT_NOSE)) {
		let_go(impact, CONTACT_NOSE);
		if (ended[CONTACT_BED] && impact->motion[CONTACT_BED] == CONTACT_FOLLOWS)
			turn_both(impact);
	}
}

void impact_release(struct impact *impact, const bool released[CONTACT_PLACES])
{
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (released[place])
			let_go(impact, (enum contact_place)place);
	if (released[CONTACT_NOSE] && released[CONTACT_BED])
		turn_both(impact);
}
