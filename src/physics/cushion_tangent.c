/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_tangent.h"

#include <math.h>

/* Events of the changes; cushion_collocation.c carries them in between. */

void tangent_start(struct impact_tangent *tangent, const struct impact *impact, double into)
{
	*tangent = (struct impact_tangent){.end = *impact, .into = into};
	for (int place = 0; place < CONTACT_PLACES; place++)
		for (int part = 0; part < 2; part++)
			tangent->slip[place][part][place][part] = 1.0;
	friction_find(impact, &tangent->friction);
}

double tangent_along_rate(const struct impact_tangent *tangent)
{
	return -tangent->friction.force[CONTACT_NOSE][0] - tangent->friction.force[CONTACT_BED][0];
}

/* The speed into the rail is (yB - tN) / (1 + sine). */
double tangent_into_rate(const struct impact_tangent *tangent)
{
	return (tangent->friction.rate[CONTACT_BED][1] - tangent->friction.rate[CONTACT_NOSE][1]) /
	       (1.0 + tangent->end.sine);
}

/* Adds friction's share of a change: force is per unit of amount. */
static void push(struct impact_tangent *tangent, int pair, const struct friction *change,
                 vector2 amount)
{
	for (int place = 0; place < CONTACT_PLACES; place++)
		for (int part = 0; part < 2; part++)
			tangent->slip[place][part][pair] += change->rate[place][part] * amount;
	tangent->along[pair] -=
	    (change->force[CONTACT_NOSE][0] + change->force[CONTACT_BED][0]) * amount;
}

/* Moves a pair of columns on by an impulse. */
static void shift(struct impact_tangent *tangent, int pair, vector2 impulse)
{
	push(tangent, pair, &tangent->friction, impulse);
	tangent->work[pair] += tangent->end.cosine * tangent->into * impulse;
}

/* Cross product of a vector with the change of a slip, and dot product with it. */
static vector2 cross_change(const struct impact_tangent *tangent, enum contact_place place,
                            int pair, vector2 v)
{
	return v[0] * tangent->slip[place][1][pair] - v[1] * tangent->slip[place][0][pair];
}

static vector2 dot_change(const struct impact_tangent *tangent, enum contact_place place, int pair,
                          vector2 v)
{
	return v[0] * tangent->slip[place][0][pair] + v[1] * tangent->slip[place][1][pair];
}

/* What turning a slip by a unit angle times impulse does to the forces. */
static void find_turning(const struct impact_tangent *tangent, enum contact_place place,
                         struct friction *turning)
{
	vector2 grip[CONTACT_PLACES] = {{0.0, 0.0}, {0.0, 0.0}};

	grip[place] = tangent->end.friction[place] * vector2_turn(tangent->end.direction[place]);
	friction_respond(&tangent->end, &tangent->friction, grip, turning);
}

/* A slip that is as good as zero: shifts its change to zero by the time of its end or start, and
 * lets what is left across its way die out by turning. One that turns about on its way, passing
 * zero closely, has nothing left across. */
static void fade(struct impact_tangent *tangent, enum contact_place place)
{
	vector2 rate = tangent->friction.rate[place];
	double square = vector2_dot(rate, rate), determinant;
	double ahead = vector2_dot(tangent->end.direction[place], rate);
	struct friction turning;

	/* A bed that does not bear turns nothing, and what is across the slip stays. */
	if (place == CONTACT_BED && tangent->end.lifted)
		return;
	find_turning(tangent, place, &turning);
	determinant = vector2_cross(rate, turning.rate[place]);
	for (int pair = 0; pair < TANGENT_PAIRS; pair++) {
		if (ahead * ahead > 0.5 * square && determinant != 0.0) {
			vector2 impulse =
			    cross_change(tangent, place, pair, turning.rate[place]) / determinant;
			vector2 angle = cross_change(tangent, place, pair, rate) / -determinant;

			push(tangent, pair, &turning, angle);
			shift(tangent, pair, impulse);
		} else if (square > 0.0) {
			shift(tangent, pair, dot_change(tangent, place, pair, rate) / -square);
		}
		tangent->slip[place][0][pair] = tangent->slip[place][1][pair] = (vector2){0.0, 0.0};
	}
}

void tangent_end_slip(struct impact_tangent *tangent, enum contact_place place)
{
	fade(tangent, place);
}

/* Friction at a contact that sticks takes away a change of its slip, by whatever way it goes. */
static void hold(struct impact_tangent *tangent, enum contact_place place)
{
	for (int part = 1; part >= 0; part--) {
		struct impact impact = tangent->end;
		vector2 grip[CONTACT_PLACES] = {{0.0, 0.0}, {0.0, 0.0}};
		struct friction present = tangent->friction, change;

		/* As if it slid with nothing but this friction. */
		impact.motion[place] = CONTACT_SLIDES;
		impact.friction[place] = 0.0;
		impact.lifted = place == CONTACT_NOSE && impact.lifted;
		present.reaction = 1.0;
		grip[place][part] = 1.0;
		friction_respond(&impact, &present, grip, &change);
		for (int pair = 0; pair < TANGENT_PAIRS; pair++)
			push(tangent, pair, &change,
			     tangent->slip[place][part][pair] / -change.rate[place][part]);
	}
	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		tangent->slip[place][0][pair] = tangent->slip[place][1][pair] = (vector2){0.0, 0.0};
}

void tangent_begin(struct impact_tangent *tangent, const struct impact *impact,
                   enum contact_place place)
{
	tangent->end = *impact;
	friction_find(impact, &tangent->friction);
	if (impact->motion[place] == CONTACT_STICKS)
		hold(tangent, place);
	else
		fade(tangent, place);
}

void tangent_end_compression(struct impact_tangent *tangent)
{
	double rate = (1.0 + tangent->end.sine) * tangent_into_rate(tangent);

	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		shift(tangent, pair,
		      (tangent->slip[CONTACT_NOSE][1][pair] - tangent->slip[CONTACT_BED][1][pair]) /
		          rate);
}

void tangent_end_restitution(struct impact_tangent *tangent)
{
	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		shift(tangent, pair, tangent->work[pair] / (-tangent->end.cosine * tangent->into));
}
