/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_events.h"

#include <math.h>

#include "physics/cushion_polynomial.h"

/* Shortens a step to an event at t, if that is sooner. */
static void shorten(struct impact_step *step, double t, enum impact_event event,
                    enum contact_place place)
{
	if (t < step->length)
		*step =
		    (struct impact_step){.length = fmax(0.0, t), .event = event, .place = place};
}

/* The end of compression. */
static double find_rest(const struct impact_series *series, double high)
{
	const double *speed = series->speed;
	double guess = -speed[0] / speed[1];

	return series->turns ? polynomial_root(speed, series->order, high, guess) : guess;
}

/* The end of restitution, some work being left. */
static double find_work(const struct impact_run *run, double left, double high)
{
	const struct impact_series *series = &run->series;
	double v = series->speed[0], a = series->speed[1];
	double share = left / (run->impact.cosine * series->pace[0]), guess;
	double work[SERIES_TERMS];

	guess = polynomial_end_guess(v, a, share);
	if (!series->turns)
		return guess;
	work[0] = left;
	for (int k = 1; k <= series->order; k++)
		work[k] = series->work[k];
	return polynomial_root(work, series->order, high, guess);
}

/* The slip of a sliding contact is taken to its end if it goes straight there; else the step stops
 * short of where the slip's part along its first direction would vanish, for there it turns. A slip
 * that sets the pace does not end. */
static void limit_slide(const struct impact_run *run, enum contact_place place,
                        struct impact_step *step)
{
	const vector2 *slip = run->series.contact[place].slip;
	vector2 direction = run->impact.direction[place], rest;
	double ahead[SERIES_TERMS], end;
	int order = run->series.order;

	ahead[0] = vector2_dot(direction, slip[0]);
	ahead[1] = vector2_dot(direction, slip[1]);
	if (!(ahead[1] < 0.0))
		return;
	end = -ahead[0] / ahead[1];
	if (run->series.turns) {
		for (int k = 2; k <= order; k++)
			ahead[k] = vector2_dot(direction, slip[k]);
		end = polynomial_root(ahead, order, fmin(step->length, 2.0 * end), end);
	}
	if (!(end < step->length))
		return;
	rest = series_vector(slip, order, end);
	if (vector2_dot(rest, rest) <= run->smallest * run->smallest)
		shorten(step, end, EVENT_SLIP_END, place);
	else
		shorten(step, 0.98 * end, EVENT_NONE, place);
}

/* The end of a slip that follows; one that starts from zero is divided by the impulse. */
static void limit_follow(const struct impact_run *run, enum contact_place place,
                         struct impact_step *step)
{
	const double *size = run->series.contact[place].size;
	int order = run->series.order;

	shorten(step,
	        size[0] > 0.0 ? polynomial_first_fall(size, order, step->length)
	                      : polynomial_first_fall(size + 1, order - 1, step->length),
	        EVENT_SLIP_END, place);
}

/* How far from its bound a quantity is at t: the cone margin of a sticking contact (EVENT_RELEASE)
 * or the bed reaction (EVENT_LIFT). Positive while nothing happens. */
static double distance_at(const struct impact_run *run, const struct impact_step *event, double t)
{
	const struct impact_series *series = &run->series;
	struct impact impact = run->impact;
	struct friction friction;

	for (int place = 0; place < CONTACT_PLACES; place++) {
		const struct contact_series *contact = &series->contact[place];
		vector2 along;

		if (impact.motion[place] == CONTACT_STICKS)
			continue;
		along = impact.motion[place] == CONTACT_FOLLOWS
		            ? series_vector(contact->direction, series->order - 1, t)
		            : series_vector(contact->slip, series->order, t);
		impact.direction[place] = along / sqrt(vector2_dot(along, along));
	}
	friction_find(&impact, &friction);
	if (event->event == EVENT_RELEASE)
		return friction_cone_margin(&impact, &friction, event->place);
	return impact.lifted ? -friction.reaction : friction.reaction;
}

/* Where the distance comes down to zero, between low, where it is positive, and high, where it is
 * not: false position, the weight of an end kept twice being halved. */
static double find_crossing(const struct impact_run *run, const struct impact_step *event,
                            double low, double low_value, double high, double high_value)
{
	for (int round = 0; round < 60; round++) {
		double fall = low_value - high_value;
		double t = fall > 0.0 ? low + (high - low) * low_value / fall : high;
		double value = distance_at(run, event, t);

		if (!(t > low && t < high) || fabs(value) < 1e-16)
			break;
		if (value > 0.0) {
			low = t;
			low_value = value;
			high_value *= 0.5;
		} else {
			high = t;
			high_value = value;
			low_value *= 0.5;
		}
	}
	return high;
}

/* Moves *t, where the distance is *value, to the lowest point of the parabola through it and its
 * neighbours, if that is lower. */
static void find_dip(const struct impact_run *run, const struct impact_step *event, double spacing,
                     double *t, double *value)
{
	double before = distance_at(run, event, *t - spacing);
	double after = distance_at(run, event, *t + spacing);
	double curvature = before + after - 2.0 * *value;
	double lowest, there;

	if (!(curvature > 0.0))
		return;
	lowest = *t + 0.5 * spacing * (before - after) / curvature;
	there = distance_at(run, event, lowest);
	if (there < *value) {
		*value = there;
		*t = lowest;
	}
}

/* Shortens a step to where a distance comes down to zero, looking at a few places and at the lowest
 * point between them, for it may go up again within the step. */
static void limit_distance(const struct impact_run *run, struct impact_step event,
                           struct impact_step *step)
{
	const int parts = 3;
	double spacing = step->length / parts;
	double last = distance_at(run, &event, 0.0), before = last;

	for (int part = 1; part <= parts; part++) {
		double t = spacing * part, here = distance_at(run, &event, t);
		double low = t - spacing, low_value = last;

		if (part > 1 && last > 0.0 && before > last && here > last) {
			double dip = low, dip_value = last;

			find_dip(run, &event, spacing, &dip, &dip_value);
			find_dip(run, &event, 0.5 * spacing, &dip, &dip_value);
			if (dip_value <= 0.0) {
				low -= spacing;
				low_value = before;
				t = dip;
				here = dip_value;
			}
		}
		if (here <= 0.0 && low_value > 0.0) {
			shorten(step, find_crossing(run, &event, low, low_value, t, here),
			        event.event, event.place);
			return;
		}
		before = last;
		last = here;
	}
}

static void limit_contact(const struct impact_run *run, enum contact_place place,
                          struct impact_step *step)
{
	struct impact_step release = {.event = EVENT_RELEASE, .place = place};

	switch (run->impact.motion[place]) {
	case CONTACT_SLIDES:
		if (!run->series.paces[place])
			limit_slide(run, place, step);
		break;
	case CONTACT_FOLLOWS:
		limit_follow(run, place, step);
		break;
	case CONTACT_STICKS:
		if (run->series.turns)
			limit_distance(run, release, step);
		break;
	}
}

/* The bed reaction is clamped from where it falls to zero until it would rise again. It cannot
 * where friction, however directed, is not enough to lift the ball. */
static void limit_lift(const struct impact_run *run, struct impact_step *step)
{
	const struct impact *impact = &run->impact;
	struct impact_step lift = {.event = EVENT_LIFT, .place = CONTACT_BED};
	const double *reaction = run->series.reaction;

	if (impact->motion[CONTACT_NOSE] == CONTACT_STICKS || !run->series.turns ||
	    impact->friction[CONTACT_NOSE] * impact->cosine <= impact->sine)
		return;
	/* Mostly the series of K times the pace tells at a glance that nothing happens. */
	if (!polynomial_stays_positive(reaction, run->series.order - 1, step->length))
		limit_distance(run, lift, step);
}

struct impact_step events_next(const struct impact_run *run, bool compressing)
{
	double high = series_step(&run->series, &run->impact, &run->error);
	struct impact_step step = {.length = high, .event = EVENT_NONE};

	shorten(&step,
	        compressing ? find_rest(&run->series, high) : find_work(run, run->state.work, high),
	        EVENT_LANDING, CONTACT_NOSE);
	limit_contact(run, CONTACT_NOSE, &step);
	limit_contact(run, CONTACT_BED, &step);
	limit_lift(run, &step);
	return step;
}
