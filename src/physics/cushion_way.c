/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_way.h"

#include <math.h>

/* How the way of a contact turns, times its pull, because the other one, sliding, turns. */
static double way_turning(const struct impact_run *run, const struct friction *friction,
                          enum contact_place place)
{
	enum contact_place other = place == CONTACT_NOSE ? CONTACT_BED : CONTACT_NOSE;

	if (run->impact.motion[other] != CONTACT_SLIDES || !(run->size[other] > 0.0))
		return 0.0;
	return friction_turn_slope(&run->impact, friction, place, other) *
	       vector2_cross(run->impact.direction[other], friction->rate[other]) /
	       run->size[other];
}

/* What a small slip would do in following. */
struct prospect {
	int order;  /* up to which it can; below 2: not at all */
	double off; /* angle to its way, but for the square of its size */
	bool drawn; /* turns to it much faster than it grows */
};

/* Looks at a small slip. One that grows should not follow unless it turns to its way so much faster
 * that a series of a sliding contact, or the steps of cushion_glide.h, would be held far shorter than the
 * way needs. One that shrinks comes to its end in one step if it follows, but terms of the order at
 * which that power of the slip turns as fast have a resonance; the orders below serve, for what is
 * left to go is short. The way lags behind as the other contact turns. */
static struct prospect look(const struct impact_run *run, enum contact_place place)
{
	vector2 direction = run->impact.direction[place];
	struct prospect prospect = {.order = run->order};
	struct friction friction;
	double growth, pull;

	friction_find(&run->impact, &friction);
	growth = vector2_dot(direction, friction.rate[place]);
	pull = -friction_turn_slope(&run->impact, &friction, place, place);
	prospect.off = (vector2_cross(direction, friction.rate[place]) -
	                run->size[place] * way_turning(run, &friction, place) / pull) /
	               pull;
	prospect.drawn = pull >= (run->glides ? 5.0 : 20.0) * growth;
	if (!(pull > 0.0) || (!prospect.drawn && run->size[place] > 1e-4))
		prospect.order = 0;
	else if (growth < 0.0)
		prospect.order = (int)fmin(run->order, 1.0 - 0.8 * pull / growth);
	return prospect;
}

/* Whether a slip may be on its way for all that is known, or can be put on it. */
static bool is_near_way(const struct impact_run *run, double size, const struct prospect *prospect)
{
	double off = fabs(prospect->off), cube = size * size * size;

	if (!run->glides)
		return off * size < run->error.speed + cube;
	if (prospect->drawn)
		off *= off + 3.0 * size;
	return off * size + 10.0 * cube < 0.3 * run->error.speed;
}

/* Puts a slip that is a small angle off its way on it. It turns there while it hardly moves on, so
 * that friction takes the part across away as if at once. */
static void put_on_way(struct impact_run *run, enum contact_place place, double off,
                       vector2 slip[CONTACT_PLACES])
{
	vector2 grip[CONTACT_PLACES] = {{0.0, 0.0}, {0.0, 0.0}}, way;
	struct friction friction, change;
	double amount;

	friction_find(&run->impact, &friction);
	impact_turn(&run->impact, place, off);
	way = run->impact.direction[place];
	grip[place] = run->impact.friction[place] * vector2_turn(way);
	friction_respond(&run->impact, &friction, grip, &change);
	amount = -vector2_cross(way, slip[place]) / vector2_cross(way, change.rate[place]);
	for (int at = 0; at < CONTACT_PLACES; at++)
		change.force[at] *= amount;
	impact_push(run, change.force, 0.0);
	impact_find_slips(run, slip);
	for (int other = 0; other < CONTACT_PLACES; other++)
		if (run->impact.motion[other] == CONTACT_SLIDES)
			impact_slide(run, other, slip);
}

bool way_is_on(const struct impact_run *run, enum contact_place place)
{
	struct prospect prospect = look(run, place);

	return prospect.order >= 2 && is_near_way(run, run->size[place], &prospect);
}

/* Decides which small slips go on following, and the order of the series. Where may_try is set, a
 * sliding one may be tried in following, to see if it is on its way; returns whether any is. */
static bool choose_following(struct impact_run *run, vector2 slip[CONTACT_PLACES], bool may_try,
                             bool tried[CONTACT_PLACES], int *order)
{
	*order = run->order;
	tried[CONTACT_NOSE] = tried[CONTACT_BED] = false;
	for (int place = 0; place < CONTACT_PLACES; place++) {
		enum contact_motion *motion = &run->impact.motion[place];
		double size = run->size[place];
		struct prospect prospect = {.order = 0};

		if (*motion == CONTACT_STICKS || size <= 0.0 ||
		    (*motion == CONTACT_SLIDES && size > WAY_SMALL_SLIP))
			continue;
		if (size <= WAY_SMALL_SLIP)
			prospect = look(run, (enum contact_place)place);
		if (prospect.order < 2) {
			impact_slide(run, place, slip);
			continue;
		}
		if (*motion == CONTACT_FOLLOWS && prospect.order < run->order)
			impact_slide(run, place, slip); /* whether it may go on is seen anew */
		if (*motion == CONTACT_SLIDES) {
			tried[place] =
			    may_try && prospect.off != 0.0 && is_near_way(run, size, &prospect);
			if (!tried[place])
				continue;
			if (run->glides)
				put_on_way(run, (enum contact_place)place, prospect.off, slip);
			*motion = CONTACT_FOLLOWS;
		}
		*order = prospect.order < *order ? prospect.order : *order;
	}
	return tried[CONTACT_NOSE] || tried[CONTACT_BED];
}

static bool build(struct impact_run *run, const vector2 slip[CONTACT_PLACES], int order)
{
	double left = run->part == PART_COMPRESSION ? HUGE_VAL : run->state.work;

	return series_build(&run->series, &run->impact, order, slip, run->size, run->state.into,
	                    left, &run->error);
}

/* Whether the slips that are tried in following are on their way already, and come to their end in
 * this step if the order is low: else sliding serves better. */
static bool tried_fit(const struct impact_run *run, const bool tried[CONTACT_PLACES],
                      const vector2 slip[CONTACT_PLACES], int order)
{
	double step = series_step(&run->series, &run->impact, &run->error);

	for (int place = 0; place < CONTACT_PLACES; place++) {
		const double *size = run->series.contact[place].size;
		double off = fabs(vector2_cross(slip[place], run->impact.direction[place]));

		if (tried[place] &&
		    (off > fmin(run->error.speed, run->error.turn * size[0]) ||
		     (order < run->order && size[0] + step * size[1] > 0.0)))
			return false;
	}
	return true;
}

bool way_build_series(struct impact_run *run, vector2 slip[CONTACT_PLACES])
{
	bool tried[CONTACT_PLACES];
	int order;

	if (choose_following(run, slip, true, tried, &order)) {
		if (build(run, slip, order) && tried_fit(run, tried, slip, order))
			return true;
		for (int place = 0; place < CONTACT_PLACES; place++)
			if (tried[place])
				impact_slide(run, place, slip);
		choose_following(run, slip, false, tried, &order);
	}
	if (build(run, slip, order))
		return true;
	impact_follow_no_more(run);
	if (build(run, slip, run->order))
		return true;
	impact_follow_anew(run);
	return build(run, slip, run->order);
}
