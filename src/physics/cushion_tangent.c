/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_tangent.h"

#include <math.h>

#include "physics/cushion_passage.h"

/* Events of the changes; cushion_tangent_step.c carries them in between. */

void tangent_start(struct impact_tangent *tangent, const struct impact *impact, double into)
{
	*tangent =
	    (struct impact_tangent){.coarse = tangent->coarse, .end = *impact, .into = into};
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

/* What impulses of the forces alone do to the slips. */
static void set_rates(const struct impact *impact, struct friction *change)
{
	vector2 nose = change->force[CONTACT_NOSE], bed = change->force[CONTACT_BED];

	change->rate[CONTACT_NOSE] = -impact->own[CONTACT_NOSE] * nose - impact->shared * bed;
	change->rate[CONTACT_BED] = -impact->shared * nose - impact->own[CONTACT_BED] * bed;
}

/* Moves a pair of columns on by an impulse. */
static void shift(struct impact_tangent *tangent, int pair, vector2 impulse)
{
	push(tangent, pair, &tangent->friction, impulse);
	tangent->work[pair] += tangent->end.cosine * tangent->into * impulse;
}

/* What a change of a slip that passes zero leaves behind: in passing, and by the time at which it
 * starts again, if it does. */
static void pass(struct impact_tangent *tangent, const struct impact *impact,
                 enum contact_place place)
{
	vector2 rate = tangent->friction.rate[place], direction;
	double square = vector2_dot(rate, rate);
	struct impact before = *impact;
	struct passage passage = {.along = {.reaction = 0.0}};
	bool turns;

	if (tangent->ended[place])
		before.direction[place] = tangent->before[place];
	before.motion[place] = CONTACT_SLIDES;
	direction = before.direction[place];
	turns = passage_find(&before, &tangent->friction, place, &passage);
	set_rates(impact, &passage.along);
	set_rates(impact, &passage.across);
	for (int pair = 0; pair < TANGENT_PAIRS; pair++) {
		vector2 x = tangent->slip[place][0][pair], y = tangent->slip[place][1][pair];

		if (turns) {
			push(tangent, pair, &passage.along, direction[0] * x + direction[1] * y);
			push(tangent, pair, &passage.across, direction[0] * y - direction[1] * x);
		}
		if (impact->motion[place] == CONTACT_STICKS || !(square > 0.0))
			continue;
		x = tangent->slip[place][0][pair];
		y = tangent->slip[place][1][pair];
		shift(tangent, pair, (rate[0] * x + rate[1] * y) / -square);
		tangent->slip[place][0][pair] = tangent->slip[place][1][pair] = (vector2){0.0, 0.0};
	}
}

void tangent_end_slip(struct impact_tangent *tangent, enum contact_place place)
{
	tangent->ended[place] = true;
	tangent->before[place] = tangent->end.direction[place];
}

/* The change of a slip that is near to zero is made up of one in time and one in proportion, which
 * both stay so while nothing else changes, for rates depend on the slip's angle alone. */
void tangent_leave(struct impact_tangent *tangent)
{
	struct tangent_near *near = &tangent->near;
	enum contact_place place = near->place;
	vector2 rate = near->start.rate[place];
	double determinant = vector2_cross(near->slip, rate);
	struct friction delay, growth;

	near->is = false;
	/* One that comes straight on has not turned. */
	if (fabs(determinant) <= 1e-7 * sqrt(vector2_dot(near->slip, near->slip)))
		return;
	for (int other = 0; other < CONTACT_PLACES; other++) {
		delay.force[other] = near->start.force[other] - tangent->friction.force[other];
		growth.force[other] =
		    near->force[other] - near->impulse * tangent->friction.force[other];
	}
	set_rates(&tangent->end, &delay);
	set_rates(&tangent->end, &growth);
	for (int pair = 0; pair < TANGENT_PAIRS; pair++) {
		vector2 x = tangent->slip[place][0][pair], y = tangent->slip[place][1][pair];

		push(tangent, pair, &delay, (near->slip[0] * y - near->slip[1] * x) / -determinant);
		push(tangent, pair, &growth, (rate[0] * y - rate[1] * x) / -determinant);
	}
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
	bool sticks = impact->motion[place] == CONTACT_STICKS;
	struct tangent_near *near = &tangent->near;

	if (near->is && near->place == place) {
		near->is = false;
		tangent->ended[place] = true;
		tangent->before[place] = near->slip / sqrt(vector2_dot(near->slip, near->slip));
	} else if (near->is) {
		tangent_leave(tangent);
	}
	tangent->end = *impact;
	friction_find(impact, &tangent->friction);
	/* A bed that does not bear turns nothing, and what is across the slip stays. */
	if (!(place == CONTACT_BED && impact->lifted) && (tangent->ended[place] || !sticks))
		pass(tangent, impact, place);
	if (sticks)
		hold(tangent, place);
	tangent->ended[place] = false;
}

void tangent_end_compression(struct impact_tangent *tangent)
{
	double rate = (1.0 + tangent->end.sine) * tangent_into_rate(tangent);

	if (tangent->near.is)
		tangent_leave(tangent);
	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		shift(tangent, pair,
		      (tangent->slip[CONTACT_NOSE][1][pair] - tangent->slip[CONTACT_BED][1][pair]) /
		          rate);
}

void tangent_end_restitution(struct impact_tangent *tangent)
{
	if (tangent->near.is)
		tangent_leave(tangent);
	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		shift(tangent, pair, tangent->work[pair] / (-tangent->end.cosine * tangent->into));
}
