/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_impact.h"

#include <math.h>
#include <stddef.h>

#include "physics/cushion_events.h"

#define STEP_LIMIT 2000

/* Slips of both contacts at the present state. */
static void find_slips(const struct impact_run *run, vector2 slip[CONTACT_PLACES])
{
	const struct impact_state *state = &run->state;
	double s = run->impact.sine;

	slip[CONTACT_NOSE] = (vector2){state->along + state->spin_speed[1] * s -
	                                   state->spin_speed[2] * run->impact.cosine,
	                               state->spin_speed[0] - state->into * s};
	slip[CONTACT_BED] =
	    (vector2){state->along - state->spin_speed[1], state->into + state->spin_speed[0]};
}

/* Lets a contact slide in the direction of its slip. */
static void slide(struct impact_run *run, int place, const vector2 slip[CONTACT_PLACES])
{
	run->impact.motion[place] = CONTACT_SLIDES;
	run->size[place] = sqrt(vector2_dot(slip[place], slip[place]));
	if (run->size[place] > 0.0)
		run->impact.direction[place] = slip[place] / run->size[place];
}

/* When friction jumps at one contact, a following slip at the other is no longer on its way; one
 * that is zero finds the new way at once. */
static void follow_no_more(struct impact_run *run)
{
	vector2 slip[CONTACT_PLACES];

	find_slips(run, slip);
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (run->impact.motion[place] == CONTACT_FOLLOWS &&
		    run->size[place] > run->smallest)
			slide(run, place, slip);
}

/* Whether a slip came to its end, and did not start from nothing. */
static bool came_to_end(const struct impact_run *run, int place)
{
	return run->size[place] > 0.0 && run->state.impulse > 0.0;
}

static void settle(struct impact_run *run, const bool ended[CONTACT_PLACES])
{
	for (int place = 0; run->tangent != NULL && place < CONTACT_PLACES; place++)
		if (ended[place] && came_to_end(run, place))
			tangent_end_slip(run->tangent, (enum contact_place)place);
	follow_no_more(run);
	impact_settle(&run->impact, ended);
	for (int place = 0; run->tangent != NULL && place < CONTACT_PLACES; place++)
		if (ended[place])
			tangent_begin(run->tangent, &run->impact, (enum contact_place)place);
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (ended[place]) {
			run->size[place] = 0.0;
			if (run->impact.motion[place] == CONTACT_STICKS)
				run->sticks++;
		}
}

static void release(struct impact_run *run, const bool released[CONTACT_PLACES])
{
	follow_no_more(run);
	impact_release(&run->impact, released);
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (released[place])
			run->size[place] = 0.0;
}

/* Brings sliding contacts up to date, and settles those whose slip has ended. */
static void settle_ended(struct impact_run *run, vector2 slip[CONTACT_PLACES])
{
	bool ended[CONTACT_PLACES] = {false, false};

	find_slips(run, slip);
	for (int place = 0; place < CONTACT_PLACES; place++) {
		if (run->impact.motion[place] == CONTACT_SLIDES)
			slide(run, place, slip);
		ended[place] =
		    run->size[place] <= run->smallest &&
		    (run->impact.motion[place] == CONTACT_SLIDES ||
		     (run->impact.motion[place] == CONTACT_FOLLOWS && run->size[place] != 0.0));
	}
	if (ended[CONTACT_NOSE] || ended[CONTACT_BED])
		settle(run, ended);
}

/* Lets go the contacts that need more friction to stick than there is: the motion of the other one
 * may have changed. */
static void release_strained(struct impact_run *run)
{
	bool released[CONTACT_PLACES];
	struct friction friction;

	if (run->impact.motion[CONTACT_NOSE] != CONTACT_STICKS &&
	    run->impact.motion[CONTACT_BED] != CONTACT_STICKS)
		return;
	friction_find(&run->impact, &friction);
	for (int place = 0; place < CONTACT_PLACES; place++)
		released[place] = run->impact.motion[place] == CONTACT_STICKS &&
		                  friction_cone_margin(&run->impact, &friction,
		                                       (enum contact_place)place) < -1e-15;
	if (released[CONTACT_NOSE] || released[CONTACT_BED])
		release(run, released);
}

/* Up to which order a small slip can follow; below 2: not at all. One that grows should not unless
 * it turns to its way so much faster that a series of a sliding contact would be held to steps far
 * shorter than the way needs. One that shrinks comes to its end in one step if it follows, but
 * terms of the order at which that power of the slip turns as fast have a resonance; the orders
 * below serve, for what is left to go is short. *off receives, to first order, the angle to the
 * way. */
static int following_order(const struct impact_run *run, enum contact_place place, double *off)
{
	vector2 direction = run->impact.direction[place];
	struct friction friction;
	double growth, pull;

	friction_find(&run->impact, &friction);
	growth = vector2_dot(direction, friction.rate[place]);
	pull = -friction_turn_slope(&run->impact, &friction, place, place);
	*off = vector2_cross(direction, friction.rate[place]) / pull;
	if (!(pull > 0.0) || (pull < 20.0 * growth && run->size[place] > 1e-4))
		return 0;
	return growth < 0.0 ? (int)fmin(run->order, 1.0 - 0.8 * pull / growth) : run->order;
}

/* Decides which small slips go on following, and the order of the series. Where may_try is set, a
 * sliding one may be tried in following, to see if it is on its way; returns whether any is. */
static bool choose_following(struct impact_run *run, const vector2 slip[CONTACT_PLACES],
                             bool may_try, bool tried[CONTACT_PLACES], int *order)
{
	const double small = 0.005;

	*order = run->order;
	tried[CONTACT_NOSE] = tried[CONTACT_BED] = false;
	for (int place = 0; place < CONTACT_PLACES; place++) {
		enum contact_motion *motion = &run->impact.motion[place];
		double size = run->size[place], off;
		int most = 0;

		if (*motion == CONTACT_STICKS || size <= 0.0 ||
		    (*motion == CONTACT_SLIDES && size > small))
			continue;
		if (size <= small)
			most = following_order(run, (enum contact_place)place, &off);
		if (most < 2) {
			slide(run, place, slip);
			continue;
		}
		if (*motion == CONTACT_FOLLOWS && most < run->order)
			slide(run, place, slip); /* whether it may go on is seen anew */
		if (*motion == CONTACT_SLIDES) {
			tried[place] = may_try && off != 0.0 &&
			               fabs(off) * size < run->error.speed + 0.5 * size * size;
			if (!tried[place])
				continue;
			*motion = CONTACT_FOLLOWS;
		}
		*order = most < *order ? most : *order;
	}
	return tried[CONTACT_NOSE] || tried[CONTACT_BED];
}

static bool build(struct impact_run *run, const vector2 slip[CONTACT_PLACES], int order)
{
	return series_build(&run->series, &run->impact, order, slip, run->size, run->state.into,
	                    &run->error);
}

/* Whether the slips that are tried in following are on their way already, and come to their end in
 * this step if the order is low: else sliding serves better. */
static bool tried_fit(const struct impact_run *run, const bool tried[CONTACT_PLACES],
                      const vector2 slip[CONTACT_PLACES])
{
	double step = series_step(&run->series, &run->impact, &run->error);

	for (int place = 0; place < CONTACT_PLACES; place++) {
		const double *size = run->series.contact[place].size;
		double off = fabs(vector2_cross(slip[place], run->impact.direction[place]));

		if (tried[place] &&
		    (off > fmin(run->error.speed, run->error.turn * size[0]) ||
		     (run->series.order < run->order && size[0] + step * size[1] > 0.0)))
			return false;
	}
	return true;
}

/* Decides anew about the contacts that follow from no slip. */
static void settle_following(struct impact_run *run)
{
	bool ended[CONTACT_PLACES];

	for (int place = 0; place < CONTACT_PLACES; place++)
		ended[place] = run->impact.motion[place] == CONTACT_FOLLOWS;
	settle(run, ended);
}

/* Builds the series at the present state. */
static bool build_series(struct impact_run *run, const vector2 slip[CONTACT_PLACES])
{
	bool tried[CONTACT_PLACES];
	int order;

	if (choose_following(run, slip, true, tried, &order)) {
		if (build(run, slip, order) && tried_fit(run, tried, slip))
			return true;
		for (int place = 0; place < CONTACT_PLACES; place++)
			if (tried[place])
				slide(run, place, slip);
		choose_following(run, slip, false, tried, &order);
	}
	if (build(run, slip, order))
		return true;
	follow_no_more(run);
	if (build(run, slip, run->order))
		return true;
	settle_following(run);
	return build(run, slip, run->order);
}

/* Moves the state, and the slips that follow, by a step of the series. */
static void advance(struct impact_run *run, double length)
{
	const struct impact_series *series = &run->series;
	struct impact_state *state = &run->state;
	double s = run->impact.sine, c = run->impact.cosine, impulse, work = 0.0;
	vector2 force[CONTACT_PLACES], nose, bed;

	series_advance(series, length, force, &impulse);
	nose = force[CONTACT_NOSE];
	bed = force[CONTACT_BED];
	for (int k = series->order; k >= 1; k--)
		work = (work + series->work[k]) * length;
	state->along -= nose[0] + bed[0];
	state->into += s * nose[1] - c * impulse - bed[1];
	state->spin_speed[0] -= 2.5 * (nose[1] + bed[1]);
	state->spin_speed[1] -= 2.5 * (s * nose[0] - bed[0]);
	state->spin_speed[2] += 2.5 * c * nose[0];
	state->work += work;
	state->impulse += impulse;
	run->steps++;
	run->lifted_steps += run->impact.lifted;
	for (int place = 0; place < CONTACT_PLACES; place++) {
		const struct contact_series *contact = &series->contact[place];
		vector2 way;

		if (run->impact.motion[place] != CONTACT_FOLLOWS)
			continue;
		way = series_vector(contact->direction, series->order - 1, length);
		run->impact.direction[place] = way / sqrt(vector2_dot(way, way));
		run->size[place] = contact->size[series->order];
		for (int k = series->order - 1; k >= 0; k--)
			run->size[place] = run->size[place] * length + contact->size[k];
	}
}

static void take_event(struct impact_run *run, const struct impact_step *step)
{
	bool place[CONTACT_PLACES] = {step->place == CONTACT_NOSE, step->place == CONTACT_BED};
	vector2 slip[CONTACT_PLACES];

	if (step->event == EVENT_LIFT)
		run->impact.lifted = !run->impact.lifted;
	if (step->event != EVENT_SLIP_END && step->event != EVENT_RELEASE)
		return;
	/* How the contact goes on depends on what the other one does now. */
	find_slips(run, slip);
	for (int other = 0; other < CONTACT_PLACES; other++)
		if (run->impact.motion[other] == CONTACT_SLIDES && !place[other])
			slide(run, other, slip);
	if (step->event == EVENT_SLIP_END)
		settle(run, place);
	else
		release(run, place);
}

/* Both contacts stick: neither slip is left, so that the speed into the rail, a combination of
 * them, is zero, and nothing changes any more. The cushion keeps its work. */
static bool is_wedged(const struct impact_run *run)
{
	return run->impact.motion[CONTACT_NOSE] == CONTACT_STICKS &&
	       run->impact.motion[CONTACT_BED] == CONTACT_STICKS;
}

/* Steps to the end of compression or of restitution. */
static bool run_part(struct impact_run *run, bool compressing)
{
	for (unsigned tries = 0; tries < STEP_LIMIT; tries++) {
		vector2 slip[CONTACT_PLACES];
		struct impact_step step;

		if (run->flies)
			return impact_fly_on(run, compressing);
		settle_ended(run, slip);
		release_strained(run);
		if (run->may_lift && run->impact.lifted)
			return impact_fly_on(run, compressing);
		if (is_wedged(run)) {
			run->wedged = true;
			return isfinite(run->state.along + run->state.work);
		}
		if (!build_series(run, slip))
			return false;
		step = events_next(run, compressing);
		if (!(step.length < HUGE_VAL))
			return false;
		if (run->tangent != NULL)
			tangent_step(run->tangent, &run->impact, &run->series, step.length,
			             step.event == EVENT_SLIP_END ? step.place : CONTACT_PLACES);
		advance(run, step.length);
		take_event(run, &step);
		if (step.event == EVENT_LANDING)
			return isfinite(run->state.along + run->state.work);
	}
	return false;
}

bool impact_compress(struct impact_run *run)
{
	vector2 slip[CONTACT_PLACES];
	bool done;

	if (run->tangent != NULL)
		tangent_start(run->tangent, &run->impact, run->state.into);
	settle_ended(run, slip);
	impact_lift(&run->impact);
	done = run_part(run, true);
	if (done && !run->wedged && run->tangent != NULL)
		tangent_end_compression(run->tangent);
	if (!run->flies)
		run->state.into = 0.0;
	run->compression = run->state.work;
	return done;
}

bool impact_give_back(struct impact_run *run, double share)
{
	bool done;

	run->state.work = share * run->compression;
	for (int pair = 0; run->tangent != NULL && pair < TANGENT_PAIRS; pair++)
		run->tangent->work[pair] *= share;
	done = run_part(run, false);
	if (run->wedged)
		run->state.into = 0.0;
	else if (done && run->tangent != NULL)
		tangent_end_restitution(run->tangent);
	return done;
}
