/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/events_curved.h"

#include <math.h>

#define RAIL_ROUNDS 4000 /* steps to a rail, at most, on a slope on which balls hardly stop */

/* A ball at one moment of its motion, and how far its acceleration can be from what it is then:
 * by `most` until the end of the phase, and by `turn` times the time gone by within `span`. */
struct moment {
	struct ball_state state;
	struct vector3 acceleration;
	double most, turn, span;
};

/* A curve with w of size r whose direction is the angle f from the pull B turns at B sin f / r, and
 * by f in all, towards B. The size falls at A + B at the most, so over the time in which half of it
 * can go the acceleration A w/|w| turns no faster than 4 A B sin f / r. */
static void moment_bounds(const struct cloth_motion *motion, struct vector3 w,
                          struct moment *moment)
{
	const struct slope_curve *curve = &motion->curve;
	double part = motion->phase == CLOTH_SLIDING ? 2.0 / 7.0 : 1.0;
	double size = vector3_norm_flat(w), along, across, half_sine;

	if (size == 0.0)
		return;
	along = (curve->axis_x * w.x + curve->axis_y * w.y) / size;
	across = (curve->axis_x * w.y - curve->axis_y * w.x) / size;
	/* sin(f / 2), without cancellation for small f */
	half_sine = along > 0.0 ? fabs(across) / sqrt(2.0 + 2.0 * along) : sqrt(0.5 - 0.5 * along);
	moment->most = 2.0 * part * curve->friction * half_sine;
	moment->turn = 4.0 * part * curve->friction * curve->pull * fabs(across) / size;
	moment->span = 0.5 * size / (curve->friction + curve->pull);
}

/* motion begins at state, time 0. */
static struct moment moment_at(const struct ball_state *state, const struct cloth_motion *motion,
                               double radius, double time)
{
	struct moment moment = {
	    .state = *state, .acceleration = motion->acceleration, .span = HUGE_VAL};

	if (motion->phase == CLOTH_REST)
		return moment;
	if (time > 0.0)
		moment.state = cloth_advance(state, motion, radius, time);
	if (!motion->curved)
		return moment;
	/* The rates follow from the state, which is cheaper than to work out the time again. */
	if (time > 0.0)
		moment.acceleration =
		    cloth_motion_later(motion, &moment.state, radius).acceleration;
	moment_bounds(motion,
	              motion->phase == CLOTH_SLIDING ? ball_slip(&moment.state, radius)
	                                             : moment.state.velocity,
	              &moment);
	return moment;
}

/* A time over which a gap cannot close. */
struct open_time {
	double time;
	bool closed;  /* the gap may be closed at its end; else it is open all the way */
	double doubt; /* how far the gap can be open then, at the most, in closed ones [m] */
};

/*   whole   time left
 *   bounds  on how the acceleration changes, as in struct moment */
static struct open_time open_time_find(double gap, double speed, double rate, double whole,
                                       const struct moment *bounds)
{
	double span = fmin(bounds->span, whole), less = bounds->turn * span / 3.0;
	double far = events_fall(gap, speed, rate - bounds->most), near;

	if (far > whole)
		return (struct open_time){.time = whole};
	near = events_fall(gap, speed, rate - less);
	if (far >= fmin(near, span))
		return (struct open_time){far, true, bounds->most * far * far};
	return (struct open_time){fmin(near, span), near <= span, less * near * near};
}

/* Where a gap of zero, or less by rounding, opens: how far to go until it is above zero, not past a
 * time at which it can be zero again. */
static double leaving_time(double speed, double rate, double whole, const struct moment *bounds)
{
	double span = fmin(bounds->span, whole), worst = rate - bounds->turn * span / 3.0;

	if (speed == 0.0)
		return bounds->turn > 0.0 ? fmin(span, 1.5 * rate / bounds->turn) : span;
	if (worst < 0.0)
		span = fmin(span, -speed / worst);
	return span;
}

double events_curved_rail(const struct ball_state *state, const struct cloth_motion *motion,
                          double radius, int axis, double sign, double line, double within)
{
	double t = 0.0;

	within = fmin(within, motion->duration);
	for (int round = 0; round < RAIL_ROUNDS && t < within; round++) {
		struct moment at = moment_at(state, motion, radius, t);
		const struct vector3 *p = &at.state.position, *v = &at.state.velocity;
		double gap = sign * ((axis == 0 ? p->x : p->y) - line);
		double speed = sign * (axis == 0 ? v->x : v->y), step;
		double rate = sign * (axis == 0 ? at.acceleration.x : at.acceleration.y);
		struct open_time open;

		if (gap > 1e-13) {
			open = open_time_find(gap, speed, rate, within - t, &at);
			step = open.time;
			if (open.closed && open.doubt < 1e-15)
				return t + step;
			if (!open.closed && t + step >= within)
				return HUGE_VAL;
		} else if (speed < 0.0 || (round > 0 && gap <= 0.0)) {
			return t;
		} else if (speed == 0.0 && rate <= 0.0) {
			return rate < 0.0 ? t + EVENTS_PRESSED_DELAY : HUGE_VAL;
		} else {
			step = leaving_time(speed, rate, within - t, &at);
		}
		if (!(t + step > t)) /* the very end of the phase */
			return gap <= 1e-12 ? t : HUGE_VAL;
		t += step;
	}
	return HUGE_VAL;
}

/* Two balls at one moment, as seen from the first. */
static struct relative_path relative_at(const struct moment moments[2])
{
	return (struct relative_path){
	    vector3_subtract(moments[1].state.position, moments[0].state.position),
	    vector3_subtract(moments[1].state.velocity, moments[0].state.velocity),
	    vector3_subtract(moments[1].acceleration, moments[0].acceleration)};
}

/* The moment of both balls: their path, and the bounds for its acceleration. */
static struct relative_path pair_at(const struct ball_state *const states[2],
                                    const struct cloth_motion motions[2], double t,
                                    struct moment *bounds)
{
	struct moment moments[2];

	for (int i = 0; i < 2; i++)
		moments[i] = moment_at(states[i], &motions[i], states[i]->position.z, t);
	bounds->most = moments[0].most + moments[1].most;
	bounds->turn = moments[0].turn + moments[1].turn;
	bounds->span = fmin(moments[0].span, moments[1].span);
	return relative_at(moments);
}

/* How long the path of touching balls is as good as one of constant acceleration: to a hundredth of
 * a nanometre, but for a time in which pressed balls meet at least. */
static double touching_span(const struct moment *bounds, double whole)
{
	double span = bounds->turn > 0.0 ? cbrt(6e-11 / bounds->turn) : HUGE_VAL;

	return fmin(fmax(span, 2.0 * EVENT_RESTING_TIME), whole);
}

/* One step from a moment at which the balls touch: when they meet, or HUGE_VAL and *step. */
static double touching_step(const struct relative_path *path, const struct moment *bounds,
                            const struct event_pair *pair, double since, double whole, int round,
                            double *step)
{
	/* The longer they stay, the less can happen. */
	*step = fmin(whole, ldexp(touching_span(bounds, whole), round / 8));
	return events_touching(path, pair, since, *step);
}

/* One step from a moment at which they do not; doubt: also how much farther apart they are at its
 * end than along the line of centres of now. */
static struct open_time apart_step(const struct relative_path *path, const struct moment *bounds,
                                   double distance, double reach, double whole)
{
	struct open_time open =
	    open_time_find(distance - reach, vector3_dot(path->d, path->v) / distance,
	                   vector3_dot(path->d, path->a) / distance, whole, bounds);
	double way = open.time * (vector3_norm(path->v) + open.time * vector3_norm(path->a));

	open.doubt += way * way / distance;
	return open;
}

double events_curved_pair(const struct event_pair *pair, double within)
{
	const struct ball_state *const *states = pair->state;
	struct cloth_motion motions[2] = {
	    cloth_motion_later(pair->motion[0], states[0], states[0]->position.z),
	    cloth_motion_later(pair->motion[1], states[1], states[1]->position.z)};
	double reach = pair->reach;
	bool touching = true;
	double t = 0.0;

	for (int round = 0; round < EVENTS_ROUNDS && t < within; round++) {
		struct moment bounds;
		struct relative_path path = pair_at(states, motions, t, &bounds);
		double distance = vector3_norm(path.d), meets;
		struct open_time open = {.closed = false};

		touching = touching && distance - reach <= EVENT_TOUCH;
		if (touching) {
			meets =
			    touching_step(&path, &bounds, pair, t, within - t, round, &open.time);
			if (meets < HUGE_VAL)
				return t + meets;
		} else if (distance - reach <= 2e-16) {
			return t;
		} else {
			open = apart_step(&path, &bounds, distance, reach, within - t);
			if (open.closed && open.doubt < 1e-15)
				return t + open.time;
		}
		if (!open.closed && t + open.time >= within)
			return HUGE_VAL;
		if (!(t + open.time > t))
			return t;
		t += open.time;
	}
	/* Too many steps: nothing has happened until t, so to begin there again is right. */
	return t < within ? t : HUGE_VAL;
}
