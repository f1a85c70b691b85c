/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_series.h"

#include <math.h>

#include "physics/cushion_polynomial.h"

/* The series while a contact follows; the pace is 1. The direction of a following contact is not
 * that of a slip known already. It comes from its equation of motion,
 *   cross(direction, slip rate) = size * turn,
 * read as an equation for the direction: the right side, by which the direction lags behind the
 * way that the slip would take at once, is small and known from lower orders, but for its term
 * size[0] turn[k], which is taken from the sweep before (and is nothing if the slip starts from
 * zero). Each sweep thus adds one order of the slip's size to the lag. */

struct building {
	struct impact_series *series;
	struct impact *impact;
	struct friction start;                        /* of order zero */
	double slope[CONTACT_PLACES][CONTACT_PLACES]; /* of the turning rates, see rates.h */
	bool slides[CONTACT_PLACES], follows[CONTACT_PLACES];
};

/* Coefficient k of the direction of a following contact, but for the newest term of turn:
 * d(direction)/d(impulse) = turn times the direction turned by a right angle. */
static void add_following_direction(struct contact_series *contact, int k)
{
	vector2 sum = {0.0, 0.0};

	for (int j = 0; j < k - 1; j++)
		sum += contact->turn[j] * contact->direction[k - 1 - j];
	contact->direction[k] = series_inverse[k] * vector2_turn(sum);
}

/* Coefficient k of friction and slip rates from those of the directions. */
static void add_friction(struct building *building, int k)
{
	struct impact_series *series = building->series;
	const vector2 *bed = series->contact[CONTACT_BED].direction;
	vector2 direction[CONTACT_PLACES], rest = {0.0, 0.0};
	struct friction change;

	for (int j = 1; j < k && !building->impact->lifted; j++)
		rest += series->reaction[j] * bed[k - j];
	for (int place = 0; place < CONTACT_PLACES; place++)
		direction[place] = series->contact[place].direction[k];
	friction_change(building->impact, &building->start, direction, rest, &change);
	series->reaction[k] = change.reaction;
	for (int place = 0; place < CONTACT_PLACES; place++) {
		series->contact[place].force[k] = change.force[place];
		series->contact[place].rate[k] = change.rate[place];
	}
}

/* Coefficient k of cross(direction, slip rate) - size turn. */
static double turning_excess(const struct contact_series *contact, int k)
{
	double sum = 0.0;

	for (int j = 0; j <= k; j++)
		sum += vector2_cross(contact->direction[j], contact->rate[k - j]) -
		       contact->size[j] * contact->turn[k - j];
	return sum;
}

/* Solves for the angles by which following contacts have to turn for the excess to vanish (that of
 * a contact that does not follow is zero). lag is added to the slopes. */
static void solve_angles(const struct building *building, const double excess[CONTACT_PLACES],
                         const double lag[CONTACT_PLACES], double angle[CONTACT_PLACES])
{
	const bool *follows = building->follows;
	double nose = building->slope[CONTACT_NOSE][CONTACT_NOSE] + lag[CONTACT_NOSE];
	double bed = building->slope[CONTACT_BED][CONTACT_BED] + lag[CONTACT_BED];
	double up = building->slope[CONTACT_NOSE][CONTACT_BED];
	double down = building->slope[CONTACT_BED][CONTACT_NOSE];

	if (follows[CONTACT_NOSE] && follows[CONTACT_BED]) {
		double determinant = nose * bed - up * down;

		angle[CONTACT_NOSE] =
		    (up * excess[CONTACT_BED] - bed * excess[CONTACT_NOSE]) / determinant;
		angle[CONTACT_BED] =
		    (down * excess[CONTACT_NOSE] - nose * excess[CONTACT_BED]) / determinant;
	} else {
		angle[CONTACT_NOSE] = follows[CONTACT_NOSE] ? -excess[CONTACT_NOSE] / nose : 0.0;
		angle[CONTACT_BED] = follows[CONTACT_BED] ? -excess[CONTACT_BED] / bed : 0.0;
	}
}

/* Puts the newest angles in, so that the excess of order k vanishes. turn[k - 1] belongs to them
 * and is taken out first; its product with size[1] goes to the left side. */
static void add_angles(struct building *building, int k)
{
	double excess[CONTACT_PLACES] = {0.0, 0.0}, lag[CONTACT_PLACES] = {0.0, 0.0};
	double angle[CONTACT_PLACES];

	for (int place = 0; place < CONTACT_PLACES; place++) {
		struct contact_series *contact = &building->series->contact[place];

		if (!building->follows[place])
			continue;
		contact->turn[k - 1] = 0.0;
		excess[place] = turning_excess(contact, k);
		lag[place] = -k * contact->size[1];
	}
	solve_angles(building, excess, lag, angle);
	for (int place = 0; place < CONTACT_PLACES; place++) {
		struct contact_series *contact = &building->series->contact[place];

		if (!building->follows[place])
			continue;
		contact->turn[k - 1] = k * angle[place];
		contact->direction[k] += angle[place] * vector2_turn(contact->direction[0]);
	}
}

/* Coefficient k + 1 of slips, speed and work, and of the sizes of slips that follow. */
static void integrate(struct building *building, int k)
{
	struct impact_series *series = building->series;

	series->pace[k] = k == 0 ? 1.0 : 0.0;
	series_integrate(series, building->impact, k);
	for (int place = 0; place < CONTACT_PLACES; place++) {
		struct contact_series *contact = &series->contact[place];
		vector2 growth = {0.0, 0.0};

		if (!building->follows[place])
			continue;
		for (int j = 0; j <= k; j++)
			growth += contact->direction[j] * contact->rate[k - j];
		contact->size[k + 1] = series_inverse[k + 1] * (growth[0] + growth[1]);
	}
}

/* Terms of order zero of directions, friction and slip rates, and the slopes there. */
static void start_terms(struct building *building)
{
	struct impact_series *series = building->series;
	const struct impact *impact = building->impact;

	friction_find(impact, &building->start);
	series->reaction[0] = building->start.reaction;
	for (int place = 0; place < CONTACT_PLACES; place++) {
		struct contact_series *contact = &series->contact[place];

		contact->direction[0] = impact->motion[place] == CONTACT_STICKS
		                            ? (vector2){0.0, 0.0}
		                            : impact->direction[place];
		contact->force[0] = building->start.force[place];
		contact->rate[0] = building->start.rate[place];
		for (int other = 0; other < CONTACT_PLACES; other++)
			building->slope[place][other] =
			    building->follows[place] && building->follows[other]
				? friction_turn_slope(impact, &building->start,
			                              (enum contact_place)place,
			                              (enum contact_place)other)
				: 0.0;
	}
}

/* Turns following contacts to where their excess of order zero vanishes, by Newton's method, and
 * leaves the terms of order zero for that. False when it is not found. */
static bool start_directions(struct building *building)
{
	const double lag[CONTACT_PLACES] = {0.0, 0.0};
	double excess[CONTACT_PLACES] = {0.0, 0.0}, angle[CONTACT_PLACES], most = HUGE_VAL;

	for (int round = 0; round < 8; round++) {
		start_terms(building);
		for (int place = 0; place < CONTACT_PLACES; place++) {
			if (!building->follows[place])
				continue;
			if (!(building->slope[place][place] < 0.0))
				return false;
			excess[place] = turning_excess(&building->series->contact[place], 0);
		}
		solve_angles(building, excess, lag, angle);
		most = fmax(fabs(angle[CONTACT_NOSE]), fabs(angle[CONTACT_BED]));
		if (!(most < 0.5) || most < 1e-15)
			break;
		for (int place = 0; place < CONTACT_PLACES; place++)
			if (building->follows[place])
				impact_turn(building->impact, (enum contact_place)place,
				            angle[place]);
	}
	return most < 1e-12;
}

/* The series up to an order, the terms of order zero being known. */
static void add_terms(struct building *building, int order)
{
	integrate(building, 0);
	for (int k = 1; k < order; k++) {
		for (int place = 0; place < CONTACT_PLACES; place++) {
			struct contact_series *contact = &building->series->contact[place];

			contact->direction[k] = (vector2){0.0, 0.0};
			if (building->slides[place]) {
				series_add_size(contact, k);
				series_add_direction(contact, k);
			} else if (building->follows[place]) {
				add_following_direction(contact, k);
			}
		}
		add_friction(building, k);
		add_angles(building, k);
		add_friction(building, k);
		integrate(building, k);
	}
}

/* Whether the faster way serves: the nose follows and a bed that bears slides. */
static bool is_trail(const struct building *building)
{
	return building->follows[CONTACT_NOSE] && building->slides[CONTACT_BED] &&
	       !building->impact->lifted;
}

/* One sweep; returns the change of the direction at the start that it calls for. */
static double sweep(struct building *building, int order)
{
	double before[CONTACT_PLACES], most = 0.0;

	for (int place = 0; place < CONTACT_PLACES; place++)
		before[place] = building->series->contact[place].turn[0];
	if (is_trail(building))
		series_trail(building->series, building->impact,
		             building->slope[CONTACT_NOSE][CONTACT_NOSE], order);
	else
		add_terms(building, order);
	for (int place = 0; place < CONTACT_PLACES; place++) {
		const struct contact_series *contact = &building->series->contact[place];

		if (building->follows[place])
			most =
			    fmax(most, contact->size[0] * fabs((contact->turn[0] - before[place]) /
			                                       building->slope[place][place]));
	}
	return most;
}

/* How far the end of the part is, about, after a sweep. */
static double end_ahead(const struct building *building, double left)
{
	const double *speed = building->series->speed;

	if (left < HUGE_VAL)
		return polynomial_end_guess(speed[0], speed[1], left / building->impact->cosine);
	return -speed[0] / speed[1];
}

#define SKETCH 10 /* order of the first of several sweeps: for what it is good, the lower ones do */

bool series_follow(struct impact_series *series, struct impact *impact, int order, double left,
                   const struct series_error *error)
{
	struct building building = {.series = series, .impact = impact};
	double change, lead = 0.0;
	bool lags = false;

	for (int place = 0; place < CONTACT_PLACES; place++) {
		struct contact_series *contact = &series->contact[place];

		building.slides[place] = impact->motion[place] == CONTACT_SLIDES;
		building.follows[place] = impact->motion[place] == CONTACT_FOLLOWS;
		lags = lags || (building.follows[place] && contact->size[0] > 0.0);
		for (int k = 0; k <= order; k++)
			contact->turn[k] = 0.0;
	}
	for (int tries = 0; tries < 6; tries++) {
		bool some = lags && tries == 0 && order > SKETCH + 4;

		if (!start_directions(&building))
			return false;
		change = sweep(&building, some ? SKETCH : order);
		lead = fmax(lead, change);
		if (some)
			order = series_order_needed(series, impact, error, SKETCH,
			                            end_ahead(&building, left), order);
		/* Higher orders that have been swept but once err by a part like the change of the
		 * first sweep. */
		if (!lags || (change <= error->speed && (tries > 1 || (!some && lead < 3e-4)))) {
			series->order = order;
			return true;
		}
	}
	return false;
}
