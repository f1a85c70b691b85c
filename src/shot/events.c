/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/events.h"

#include <math.h>

#include "physics/roots.h"
#include "shot/events_curved.h"

/* First time at which gap + speed t + rate t^2 / 2 falls to zero, for a gap that is not negative
 * but for rounding. */
static double gap_closes(double gap, double speed, double rate)
{
	double c2 = 0.5 * rate, discriminant, q, near_root, far_root;

	if (gap <= 1e-13) {
		if (speed < 0.0)
			return 0.0;
		if (rate >= 0.0)
			return HUGE_VAL;
		return speed > 0.0 ? -speed / c2 : EVENTS_PRESSED_DELAY;
	}
	if (c2 == 0.0)
		return speed < 0.0 ? -gap / speed : HUGE_VAL;
	discriminant = speed * speed - 4.0 * c2 * gap;
	if (discriminant < 0.0)
		return HUGE_VAL;
	q = -0.5 * (speed + copysign(sqrt(discriminant), speed));
	near_root = q / c2;
	far_root = q != 0.0 ? gap / q : near_root;
	if (near_root > far_root) {
		double swap = near_root;
		near_root = far_root;
		far_root = swap;
	}
	if (near_root > 0.0)
		return near_root;
	return far_root > 0.0 ? far_root : HUGE_VAL;
}

/* The time of each rail where the acceleration is constant. */
static void rail_times(const struct ball_state *state, const struct cloth_motion *motion,
                       double radius, const struct table *table, double times[RAIL_COUNT])
{
	const struct vector3 *p = &state->position, *v = &state->velocity,
			     *a = &motion->acceleration;

	times[RAIL_HEAD] = gap_closes(p->y - radius, v->y, a->y);
	times[RAIL_FOOT] = gap_closes(table->length - radius - p->y, -v->y, -a->y);
	times[RAIL_LEFT] = gap_closes(p->x - radius, v->x, a->x);
	times[RAIL_RIGHT] = gap_closes(table->width - radius - p->x, -v->x, -a->x);
}

static void rail_times_curved(const struct ball_state *state, const struct cloth_motion *motion,
                              double radius, const struct table *table, double within,
                              double times[RAIL_COUNT])
{
	struct cloth_motion now = cloth_motion_later(motion, state, radius);

	for (int i = 0; i < RAIL_COUNT; i++) {
		bool low = i == RAIL_HEAD || i == RAIL_LEFT;

		times[i] = events_curved_rail(
		    state, &now, radius, rail_is_long((enum rail)i) ? 0 : 1, low ? 1.0 : -1.0,
		    table_frozen_line(table, (enum rail)i, radius), within);
		within = fmin(within, times[i]);
	}
}

double event_rail_time(const struct ball_state *state, const struct cloth_motion *motion,
                       double radius, const struct table *table, double within, enum rail *rail)
{
	double first = HUGE_VAL;
	double times[RAIL_COUNT];

	if (motion->curved)
		rail_times_curved(state, motion, radius, table, within, times);
	else
		rail_times(state, motion, radius, table, times);
	for (int i = 0; i < RAIL_COUNT; i++)
		if (times[i] < first) {
			first = times[i];
			*rail = (enum rail)i;
		}
	return first <= within ? first : HUGE_VAL;
}

/* When balls that approach hardly or not at all are EVENT_DEPTH inside one another, on the whole of
 * the path; those that are already, when they approach enough to meet. */
static double pressed_time(const struct relative_path *path, double reach, double approach,
                           double drive, double within)
{
	const struct vector3 *d = &path->d, *v = &path->v, *a = &path->a;
	double near = reach - EVENT_DEPTH;
	/* Of the squared distance. */
	double over[ROOTS_DEGREE + 1] = {vector3_dot(*d, *d) - near * near,
	                                 2.0 * vector3_dot(*d, *v),
	                                 vector3_dot(*v, *v) + vector3_dot(*d, *a),
	                                 vector3_dot(*v, *a), 0.25 * vector3_dot(*a, *a)};

	if (over[0] > 0.0)
		return roots_first_fall(over, ROOTS_DEGREE, within);
	if (approach > EVENT_DEEP_APPROACH)
		return 0.0;
	return drive > 0.0 ? (3.0 * EVENT_DEEP_APPROACH - approach) / drive : HUGE_VAL;
}

/* Touching balls: they meet at once when they approach; soon when they neither approach nor part
 * and are driven together, or rest on one another and approach hardly; else when the gap, having
 * opened, closes again. */
double events_touching(const struct relative_path *path, const struct event_pair *pair,
                       double since, double within)
{
	const struct vector3 *d = &path->d, *v = &path->v, *a = &path->a;
	double soonest = pair->rests ? pair->soonest - since : EVENT_RESTING_TIME;
	double reach = pair->reach;
	double opens = vector3_dot(*d, *v), pushes = vector3_dot(*d, *a);
	double approach = -opens / reach;
	double drive = approach * approach / reach - (vector3_dot(*v, *v) + pushes) / reach;
	double opening[ROOTS_DEGREE], fall = HUGE_VAL;

	if (approach > (pair->rests ? EVENT_RESTING_APPROACH : EVENT_APPROACH))
		return 0.0;
	if (approach > -EVENT_APPROACH && (approach > 0.0 || drive > 0.0)) {
		fall = fmax(soonest, pressed_time(path, reach, approach, drive, within));
		fall = fall <= within ? fall : HUGE_VAL;
		if (drive > 0.0 || approach > EVENT_APPROACH)
			return fall;
	}
	if (opens >= 0.0 && pushes >= 0.0) /* they part, and nothing brings them back */
		return HUGE_VAL;
	/* The fall of the squared distance below what it is now, divided by time. */
	opening[0] = fmax(2.0 * opens, 2.0 * reach * EVENT_APPROACH);
	opening[1] = vector3_dot(*v, *v) + pushes;
	opening[2] = vector3_dot(*v, *a);
	opening[3] = 0.25 * vector3_dot(*a, *a);
	return fmin(fall, roots_first_fall(opening, ROOTS_DEGREE - 1, within));
}

/* Whether all of three points, seen from the origin along (x, y), are farther than size. */
static bool beyond(double x, double y, double size, const double points[3][2])
{
	for (int i = 0; i < 3; i++)
		if (!(x * points[i][0] + y * points[i][1] > size))
			return false;
	return true;
}

/* Whether the line through two of the points passes the origin farther than the reach, with the
 * third point beyond it. */
static bool edge_beyond(const double points[3][2], int i, int j, double reach)
{
	double x = points[j][1] - points[i][1], y = points[i][0] - points[j][0];
	double size = x * points[i][0] + y * points[i][1];
	double third = x * points[3 - i - j][0] + y * points[3 - i - j][1];
	double needed = reach * reach * (x * x + y * y);

	return size * size > needed && third * third > needed && size * third > 0.0;
}

/* Whether a path cannot come within the reach: in plan it lies in the triangle of its Bezier
 * points, the start, the point half of the time ahead along the tangent, and the end, and a line
 * separates that triangle from the disc. */
static bool passes_by(const struct relative_path *path, double reach, double within)
{
	const struct vector3 *d = &path->d, *v = &path->v, *a = &path->a;
	double half = 0.5 * within, far = half * within;
	double points[3][2] = {
	    {d->x, d->y},
	    {d->x + half * v->x, d->y + half * v->y},
	    {d->x + within * v->x + far * a->x, d->y + within * v->y + far * a->y}};
	double room = reach + 1e-12; /* for rounding */

	return edge_beyond(points, 0, 1, room) || edge_beyond(points, 0, 2, room) ||
	       beyond(d->x, d->y, room * sqrt(d->x * d->x + d->y * d->y), points) ||
	       beyond(points[2][0], points[2][1],
	              room * sqrt(points[2][0] * points[2][0] + points[2][1] * points[2][1]),
	              points) ||
	       edge_beyond(points, 1, 2, room);
}

/* The first meeting on a path of constant acceleration whose balls do not touch at its start, as
 * events.h says. */
static double path_meets(const struct relative_path *path, double reach, double within)
{
	const struct vector3 *a = &path->a;
	double noise = 2e-16 * (reach + vector3_norm(path->d));
	double t = 0.0;

	for (int round = 0; round < EVENTS_ROUNDS; round++) {
		struct vector3 v = vector3_add(path->v, vector3_scale(t, *a));
		struct vector3 d =
		    vector3_add(path->d, vector3_scale(0.5 * t, vector3_add(path->v, v)));
		double distance = vector3_norm(d), gap = distance - reach, step, bent;

		if (gap <= noise)
			break;
		step =
		    events_fall(gap, vector3_dot(d, v) / distance, vector3_dot(d, *a) / distance);
		if (!(t + step <= within))
			return HUGE_VAL;
		t += step;
		/* How much farther apart they are then than along the line of centres. */
		bent = vector3_norm(v) + step * vector3_norm(*a);
		if (bent * bent * step * step <= noise * distance)
			break;
	}
	return t;
}

double event_pair_time(const struct event_pair *pair, double within)
{
	const struct ball_state *first = pair->state[0], *second = pair->state[1];
	struct relative_path path;

	if (!(within < HUGE_VAL)) /* neither ball moves */
		return HUGE_VAL;
	if (pair->motion[0]->curved || pair->motion[1]->curved)
		return events_curved_pair(pair, within);
	path.d = vector3_subtract(second->position, first->position);
	path.v = vector3_subtract(second->velocity, first->velocity);
	path.a = vector3_subtract(pair->motion[1]->acceleration, pair->motion[0]->acceleration);
	if (passes_by(&path, pair->reach, within))
		return HUGE_VAL;
	if (vector3_norm(path.d) - pair->reach <= EVENT_TOUCH)
		return events_touching(&path, pair, 0.0, within);
	return path_meets(&path, pair->reach, within);
}
