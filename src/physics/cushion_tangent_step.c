/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_tangent.h"

#include <math.h>

#include "physics/cushion_collocation.h"
#include "physics/cushion_points.h"
#include "physics/cushion_polynomial.h"

/* One step of the impact for the changes carried along: collocation, except while a slip is so near
 * to zero that its direction is rounding. */

/* Rounding leaves no direction to a slip of this size. */
#define NOTHING 1e-14

/* A slip that falls more slowly, per impulse, is not waited for. */
#define SLOW_FALL 0.01

/* A step of the series, as tangent_step is given it. */
struct step {
	const struct impact *impact;
	const struct impact_series *series;
	double length;
	enum contact_place straight; /* whose slip goes straight to its end, or CONTACT_PLACES */
};

/* Directions of the slips at a place in the step, but that of one that goes straight to its end. */
static void set_directions(struct impact *impact, const struct step *step, double at)
{
	const struct impact_series *series = step->series;

	for (int place = 0; place < CONTACT_PLACES; place++) {
		const struct contact_series *contact = &series->contact[place];
		vector2 way;
		double size;

		if (impact->motion[place] == CONTACT_STICKS || place == (int)step->straight)
			continue;
		way = impact->motion[place] == CONTACT_FOLLOWS
		          ? series_vector(contact->direction, series->order - 1, at)
		          : series_vector(contact->slip, series->order, at);
		size = sqrt(vector2_dot(way, way));
		if (size > NOTHING)
			impact->direction[place] = way / size;
	}
}

/* Adds what the forces do between two places of the step. */
static void sum_forces(struct tangent_near *near, const struct impact_series *series, double from,
                       double to)
{
	vector2 before[CONTACT_PLACES], after[CONTACT_PLACES];
	double impulse_before, impulse_after;

	series_advance(series, from, before, &impulse_before);
	series_advance(series, to, after, &impulse_after);
	near->impulse += impulse_after - impulse_before;
	for (int place = 0; place < CONTACT_PLACES; place++)
		near->force[place] += after[place] - before[place];
}

/* About where in the step a slip becomes near or ceases to be, its ends being different. */
static double find_border(const struct step *step, enum contact_place place)
{
	bool starts_near = points_size(step->series, step->impact, place, 0.0) <= TANGENT_NEAR;
	double low = 0.0, high = step->length;

	for (int round = 0; round < 60; round++) {
		double middle = 0.5 * (low + high);
		double size = points_size(step->series, step->impact, place, middle);

		if (size > 0.5 * TANGENT_NEAR && size <= TANGENT_NEAR)
			return middle;
		if ((size <= TANGENT_NEAR) == starts_near)
			low = middle;
		else
			high = middle;
	}
	return low;
}

/* The contact whose slip is near to zero at the end of the step, sliding on its way there; *at
 * receives since where. CONTACT_PLACES: none. */
static enum contact_place find_approach(const struct step *step, double *at)
{
	for (enum contact_place place = CONTACT_NOSE; place < CONTACT_PLACES; place++) {
		if (step->impact->motion[place] != CONTACT_SLIDES ||
		    !collocation_turns(step->impact, place) ||
		    points_size(step->series, step->impact, place, step->length) > TANGENT_NEAR)
			continue;
		*at = 0.0;
		if (step->series->contact[place].size[0] > TANGENT_NEAR)
			*at = find_border(step, place);
		return place;
	}
	return CONTACT_PLACES;
}

/* Notes that from here on nothing is carried along. False when the slip does not fall fast enough
 * for all else to stay as it is until it has passed. */
static bool start_waiting(struct impact_tangent *tangent, const struct step *step,
                          enum contact_place place, double at)
{
	enum contact_place other = place == CONTACT_NOSE ? CONTACT_BED : CONTACT_NOSE;
	struct tangent_near near = {.is = true, .place = place};
	struct impact impact = *step->impact;

	near.other = impact.motion[other];
	set_directions(&impact, step, at);
	friction_find(&impact, &near.start);
	near.slip = series_vector(step->series->contact[place].slip, step->series->order, at);
	if (vector2_dot(impact.direction[place], near.start.rate[place]) > -SLOW_FALL)
		return false;
	tangent->near = near;
	return true;
}

/* Where in the step there is nothing to wait for any more; 0 also when the slip follows, so that
 * its direction is known, and when the other contact has changed its motion. */
static double find_departure(const struct step *step, const struct tangent_near *near)
{
	enum contact_place place = near->place;
	enum contact_place other = place == CONTACT_NOSE ? CONTACT_BED : CONTACT_NOSE;

	if (step->impact->motion[place] == CONTACT_FOLLOWS ||
	    step->impact->motion[other] != near->other)
		return 0.0;
	if (points_size(step->series, step->impact, place, step->length) <= TANGENT_NEAR)
		return step->length;
	return find_border(step, place);
}

/* Waits as long as the slip is near; returns until where in the step. */
static double wait_on(struct impact_tangent *tangent, const struct step *step)
{
	double until = find_departure(step, &tangent->near);

	sum_forces(&tangent->near, step->series, 0.0, until);
	if (until >= step->length)
		return step->length;
	if (until > 0.0) {
		set_directions(&tangent->end, step, until);
		friction_find(&tangent->end, &tangent->friction);
	}
	tangent_leave(tangent);
	return until;
}

static void carry(struct impact_tangent *tangent, const struct step *step)
{
	double from = 0.0, to = step->length;
	enum contact_place place;

	if (tangent->near.is)
		from = wait_on(tangent, step);
	if (from >= step->length)
		return;
	place = find_approach(step, &to);
	if (place == CONTACT_PLACES || to < from || !start_waiting(tangent, step, place, to))
		to = step->length;
	if (to > from)
		collocation_cross(tangent, step->impact, step->series, step->straight, from, to);
	if (tangent->near.is)
		sum_forces(&tangent->near, step->series, to, step->length);
}

void tangent_step(struct impact_tangent *tangent, const struct impact *impact,
                  const struct impact_series *series, double length, enum contact_place ends)
{
	struct step step = {impact, series, length, CONTACT_PLACES};

	if (ends != CONTACT_PLACES && impact->motion[ends] == CONTACT_SLIDES)
		step.straight = ends;
	if (length > 0.0)
		carry(tangent, &step);
	tangent->end = *impact;
	set_directions(&tangent->end, &step, length);
	tangent->into = polynomial_value(series->speed, series->order, length);
	friction_find(&tangent->end, &tangent->friction);
}
