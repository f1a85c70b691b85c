/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/events.h"

#include <math.h>

#include "physics/roots.h"

#define PRESSED_DELAY 1e-6 /* a ball at a rail that is driven into it meets it this much later [s] */
#define PRESSED_PAIR_DELAY 1e-3 /* touching balls driven together meet this much later [s] */

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
		return speed > 0.0 ? -speed / c2 : PRESSED_DELAY;
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

double event_rail_time(const struct ball_state *state, const struct cloth_motion *motion,
                       double radius, const struct table *table, double within, enum rail *rail)
{
	const struct vector3 *p = &state->position, *v = &state->velocity, *a = &motion->acceleration;
	double first = HUGE_VAL;
	double times[RAIL_COUNT];

	times[RAIL_HEAD] = gap_closes(p->y - radius, v->y, a->y);
	times[RAIL_FOOT] = gap_closes(table->length - radius - p->y, -v->y, -a->y);
	times[RAIL_LEFT] = gap_closes(p->x - radius, v->x, a->x);
	times[RAIL_RIGHT] = gap_closes(table->width - radius - p->x, -v->x, -a->x);
	for (int i = 0; i < RAIL_COUNT; i++)
		if (times[i] < first) {
			first = times[i];
			*rail = (enum rail)i;
		}
	return first <= within ? first : HUGE_VAL;
}

/* Touching balls: they meet at once when they approach; soon when they neither approach nor part and
 * are driven together; else when the gap, having opened, closes again. */
static double touching_time(const double *c, double reach, double within)
{
	double approach = -0.5 * c[1] / reach;
	double drive = -c[2] / reach;
	double opening[ROOTS_DEGREE] = {c[1], c[2], c[3], c[4]};
	double fall;

	if (approach > EVENT_APPROACH)
		return 0.0;
	if (approach > -EVENT_APPROACH && drive > 0.0) {
		fall = fmax(PRESSED_PAIR_DELAY, 3.0 * EVENT_APPROACH / drive);
		return fall <= within ? fall : HUGE_VAL;
	}
	opening[0] = fmax(c[1], 2.0 * reach * EVENT_APPROACH);
	return roots_first_fall(opening, ROOTS_DEGREE - 1, within);
}

double event_pair_time(const struct ball_state *first, const struct cloth_motion *first_motion,
                       const struct ball_state *second, const struct cloth_motion *second_motion,
                       double reach, double within)
{
	struct vector3 d = vector3_subtract(second->position, first->position);
	struct vector3 v = vector3_subtract(second->velocity, first->velocity);
	struct vector3 a =
	    vector3_subtract(second_motion->acceleration, first_motion->acceleration);
	double distance, c[ROOTS_DEGREE + 1];

	if (!(within < HUGE_VAL)) /* neither ball moves */
		return HUGE_VAL;
	d.z = 0.0;
	distance = vector3_norm_flat(d);
	if (distance - reach > within * (vector3_norm_flat(v) + 0.5 * within * vector3_norm_flat(a)))
		return HUGE_VAL;
	c[0] = vector3_dot(d, d) - reach * reach;
	c[1] = 2.0 * (d.x * v.x + d.y * v.y);
	c[2] = v.x * v.x + v.y * v.y + d.x * a.x + d.y * a.y;
	c[3] = v.x * a.x + v.y * a.y;
	c[4] = 0.25 * (a.x * a.x + a.y * a.y);
	if (distance - reach <= EVENT_TOUCH)
		return touching_time(c, reach, within);
	return roots_first_fall(c, 4, within);
}
