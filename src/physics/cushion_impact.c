/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_impact.h"

#include <math.h>
#include <stddef.h>

#include "physics/cushion_events.h"
#include "physics/cushion_glide.h"
#include "physics/cushion_way.h"

#define STEP_LIMIT 2000

void impact_find_slips(const struct impact_run *run, vector2 slip[CONTACT_PLACES])
{
	const struct impact_state *state = &run->state;
	double s = run->impact.sine;

	slip[CONTACT_NOSE] = (vector2){state->along + state->spin_speed[1] * s -
	                                   state->spin_speed[2] * run->impact.cosine,
	                               state->spin_speed[0] - state->into * s};
	slip[CONTACT_BED] =
	    (vector2){state->along - state->spin_speed[1], state->into + state->spin_speed[0]};
}

void impact_slide(struct impact_run *run, int place, const vector2 slip[CONTACT_PLACES])
{
	run->impact.motion[place] = CONTACT_SLIDES;
	run->size[place] = sqrt(vector2_dot(slip[place], slip[place]));
	if (run->size[place] > 0.0)
		run->impact.direction[place] = slip[place] / run->size[place];
}

void impact_follow_no_more(struct impact_run *run)
{
	vector2 slip[CONTACT_PLACES];

	impact_find_slips(run, slip);
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (run->impact.motion[place] == CONTACT_FOLLOWS &&
		    run->size[place] > run->smallest)
			impact_slide(run, place, slip);
}

void impact_push(struct impact_run *run, const vector2 force[CONTACT_PLACES], double impulse)
{
	struct impact_state *state = &run->state;
	vector2 nose = force[CONTACT_NOSE], bed = force[CONTACT_BED];
	double s = run->impact.sine, c = run->impact.cosine;

	state->along -= nose[0] + bed[0];
	state->into += s * nose[1] - c * impulse - bed[1];
	state->spin_speed[0] -= 2.5 * (nose[1] + bed[1]);
	state->spin_speed[1] -= 2.5 * (s * nose[0] - bed[0]);
	state->spin_speed[2] += 2.5 * c * nose[0];
	state->impulse += impulse;
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
	impact_follow_no_more(run);
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
	impact_follow_no_more(run);
	impact_release(&run->impact, released);
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (released[place])
			run->size[place] = 0.0;
}

/* Brings sliding contacts up to date, and settles those whose slip has ended. */
static void settle_ended(struct impact_run *run, vector2 slip[CONTACT_PLACES])
{
	bool ended[CONTACT_PLACES] = {false, false};

	impact_find_slips(run, slip);
	for (int place = 0; place < CONTACT_PLACES; place++) {
		if (run->impact.motion[place] == CONTACT_SLIDES ||
		    (run->impact.motion[place] == CONTACT_FOLLOWS &&
		     run->size[place] > WAY_SMALL_SLIP))
			impact_slide(run, place, slip);
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

void impact_follow_anew(struct impact_run *run)
{
	bool ended[CONTACT_PLACES];

	for (int place = 0; place < CONTACT_PLACES; place++)
		ended[place] = run->impact.motion[place] == CONTACT_FOLLOWS;
	settle(run, ended);
}

/* Moves the state, and the slips that follow, by a step of the series. */
static void advance(struct impact_run *run, double length)
{
	const struct impact_series *series = &run->series;
	struct impact_state *state = &run->state;
	double impulse, work = 0.0;
	vector2 force[CONTACT_PLACES];

	series_advance(series, length, force, &impulse);
	for (int k = series->order; k >= 1; k--)
		work = (work + series->work[k]) * length;
	impact_push(run, force, impulse);
	state->work += work;
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
	impact_find_slips(run, slip);
	for (int other = 0; other < CONTACT_PLACES; other++)
		if (run->impact.motion[other] == CONTACT_SLIDES && !place[other])
			impact_slide(run, other, slip);
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

/* The part has ended: what the cushion has taken up is known, or it has given back its share. */
static void end_part(struct impact_run *run)
{
	bool restores = run->part == PART_COMPRESSION && run->share > 0.0;

	if (run->part == PART_COMPRESSION) {
		if (!run->wedged && run->tangent != NULL)
			tangent_end_compression(run->tangent);
		if (!run->flies)
			run->state.into = 0.0;
		run->compression = run->state.work;
		run->state.work = run->share * run->compression;
		for (int pair = 0; run->tangent != NULL && pair < TANGENT_PAIRS; pair++)
			run->tangent->work[pair] *= run->share;
	} else if (run->wedged) {
		run->state.into = 0.0;
	} else if (run->tangent != NULL) {
		tangent_end_restitution(run->tangent);
	}
	run->part = restores ? PART_RESTITUTION : PART_ENDED;
}

/* A step of the series. */
static bool take_series_step(struct impact_run *run, vector2 slip[CONTACT_PLACES])
{
	struct impact_step step;

	if (!way_build_series(run, slip))
		return false;
	step = events_next(run, run->part == PART_COMPRESSION);
	if (!(step.length < HUGE_VAL))
		return false;
	if (run->tangent != NULL)
		tangent_step(run->tangent, &run->impact, &run->series, step.length,
		             step.event == EVENT_SLIP_END ? step.place : CONTACT_PLACES);
	advance(run, step.length);
	take_event(run, &step);
	if (step.event == EVENT_LANDING)
		end_part(run);
	return true;
}

/* A step, of whatever kind. */
static bool take_step(struct impact_run *run)
{
	vector2 slip[CONTACT_PLACES];

	if (!run->flies) {
		settle_ended(run, slip);
		release_strained(run);
	}
	if (run->flies || (run->may_lift && run->impact.lifted)) {
		bool fine = impact_fly_on(run, run->part == PART_COMPRESSION);

		end_part(run);
		return fine;
	}
	if (is_wedged(run)) {
		run->wedged = true;
		end_part(run);
		return true;
	}
	if (glide_serves(run, slip)) {
		if (!glide_on(run))
			return false;
		if (run->part == PART_ENDED)
			return true;
		settle_ended(run, slip);
	}
	return take_series_step(run, slip);
}

bool impact_run_through(struct impact_run *run)
{
	vector2 slip[CONTACT_PLACES];

	if (run->tangent != NULL)
		tangent_start(run->tangent, &run->impact, run->state.into);
	settle_ended(run, slip);
	impact_lift(&run->impact);
	for (unsigned tries = 0; tries < STEP_LIMIT && run->part != PART_ENDED; tries++)
		if (!take_step(run))
			return false;
	return run->part == PART_ENDED && isfinite(run->state.along + run->state.work);
}
