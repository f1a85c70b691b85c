/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "shot/events.h"
#include "shot_support.h"

/* Times at which balls meet rails and one another on a bed that slopes, against scanning their
 * paths in small steps. The paths are those of physics/cloth, whose own tests hold them against
 * power series. */

#define CASES 1500
#define STEPS 1500
#define RADIUS 0.028575

static const struct ball_body body = {RADIUS, 0.163, 1.0};

static double between(struct random_stream *stream, double low, double high)
{
	return shot_support_between(stream, low, high);
}

static void draw_slope(struct random_stream *stream, struct constants *constants, double steepest)
{
	double way = between(stream, -M_PI, M_PI), limit;

	constants->value[SLIDING_FRICTION] = between(stream, 0.1, 0.4);
	constants->value[ROLLING_RESISTANCE] = between(stream, 0.005, 0.03);
	limit = 1.4 * constants->value[ROLLING_RESISTANCE] * between(stream, 0.01, steepest);
	constants->terms.slope_long = limit * sin(way);
	constants->terms.slope_short = limit * cos(way);
}

static struct ball_state draw_ball(struct random_stream *stream, const struct table *table)
{
	double v = between(stream, 0.01, 3.0) * between(stream, 0.02, 1.0);
	struct ball_state ball =
	    shot_support_ball(between(stream, RADIUS, table->width - RADIUS),
	                      between(stream, RADIUS, table->length - RADIUS), RADIUS,
	                      between(stream, -M_PI, M_PI), v, v, between(stream, -1.0, 1.0));

	if (random_uniform(stream) < 0.5) {
		ball.spin.x = between(stream, -1.5, 1.5) * v / RADIUS;
		ball.spin.y = between(stream, -1.5, 1.5) * v / RADIUS;
	}
	return ball;
}

static struct vector3 path(const struct ball_state *ball, const struct cloth_motion *motion,
                           double t)
{
	return cloth_advance(ball, motion, RADIUS, t).position;
}

static double rail_gap(struct vector3 p, enum rail rail, const struct table *table)
{
	double line = table_frozen_line(table, rail, RADIUS);
	double part = rail_is_long(rail) ? p.x : p.y;

	return rail == RAIL_HEAD || rail == RAIL_LEFT ? part - line : line - part;
}

static double least_gap(struct vector3 p, const struct table *table)
{
	double gap = HUGE_VAL;

	for (int rail = 0; rail < RAIL_COUNT; rail++)
		gap = fmin(gap, rail_gap(p, (enum rail)rail, table));
	return gap;
}

static int check_rail_case(int i, const struct ball_state *ball, const struct cloth_motion *motion,
                           const struct table *table, int *met)
{
	enum rail rail = RAIL_COUNT;
	double time = event_rail_time(ball, motion, RADIUS, table, motion->duration, &rail);
	double end = fmin(time, motion->duration), deepest = HUGE_VAL;

	for (int k = 1; k < STEPS; k++)
		deepest = fmin(deepest, least_gap(path(ball, motion, end * k / STEPS), table));
	if (time == HUGE_VAL)
		return close_false("rail", i, "nothing is met at all", deepest > -1e-12);
	(*met)++;
	return close_false("rail", i, "nothing is met before", deepest > -1e-12) +
	       close_false("rail", i, "within the phase", time <= motion->duration) +
	       close_miss("rail", i, "gap", 0.0, rail_gap(path(ball, motion, time), rail, table),
	                  1e-12);
}

START_TEST(rail_times_equal_a_scan)
{
	struct random_stream stream = random_start(88401, 1);
	struct shot_support shot;
	int misses = 0, met = 0;

	shot_support_start(&shot, 1);
	for (int i = 0; i < CASES; i++) {
		struct ball_state ball;
		struct cloth_motion motion;

		draw_slope(&stream, &shot.constants, i % 4 == 0 ? 0.99 : 0.4);
		ball = draw_ball(&stream, &shot.table);
		motion = cloth_motion_start(&ball, &body, &shot.constants);
		misses += check_rail_case(i, &ball, &motion, &shot.table, &met);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(met, CASES / 5);
	ck_assert_int_gt(CASES - met, CASES / 5);
}
END_TEST

/* The largest x of a path, by golden section; the way has one top along x. */
static double top_of(const struct ball_state *ball, const struct cloth_motion *motion, double *top)
{
	double low = 0.0, high = motion->duration, part = 0.3819660112501051;

	for (int k = 0; k < 120; k++) {
		double a = low + part * (high - low), b = high - part * (high - low);

		if (path(ball, motion, a).x < path(ball, motion, b).x)
			low = a;
		else
			high = b;
	}
	*top = path(ball, motion, low).x;
	return low;
}

/* A ball that rolls up toward the right rail and is turned back by the slope, just before the rail
 * or just behind it. */
START_TEST(grazed_rails_are_met_or_missed)
{
	struct random_stream stream = random_start(88401, 2);
	struct shot_support shot;
	int misses = 0;

	shot_support_start(&shot, 1);
	for (int i = 0; i < CASES / 3; i++) {
		double over = pow(10.0, between(&stream, -11.0, -6.0)) * (i % 2 == 0 ? 1.0 : -1.0);
		double v = between(&stream, 0.2, 0.9), top, turn, time;
		enum rail rail = RAIL_COUNT;
		struct cloth_motion motion;
		struct ball_state ball =
		    shot_support_ball(0.5, 0.3, RADIUS, between(&stream, 1.1, 1.5), v, v, 0.3);

		draw_slope(&stream, &shot.constants, 0.6);
		shot.constants.terms.slope_short = fabs(shot.constants.terms.slope_short) + 1e-3;
		shot.constants.terms.slope_long *= 0.1;
		shot.constants.value[ROLLING_RESISTANCE] += 1e-3;
		motion = cloth_motion_start(&ball, &body, &shot.constants);
		turn = top_of(&ball, &motion, &top);
		ball.position.x += table_frozen_line(&shot.table, RAIL_RIGHT, RADIUS) - top + over;
		shot.table.length = 50.0; /* no other rail in the way */
		time = event_rail_time(&ball, &motion, RADIUS, &shot.table, motion.duration, &rail);
		if (over < 0.0) {
			misses += close_false("graze", i, "missed",
			                      time == HUGE_VAL || rail == RAIL_LEFT);
			continue;
		}
		misses += close_false("graze", i, "met", rail == RAIL_RIGHT) +
		          close_false("graze", i, "before the top", time < turn + 1e-6) +
		          close_miss("graze", i, "gap", 0.0,
		                     rail_gap(path(&ball, &motion, time), RAIL_RIGHT, &shot.table),
		                     1e-12);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Frozen to the left rail on a slope of 1 mm per m. */
START_TEST(frozen_balls_meet_their_rail_when_pulled)
{
	struct shot_support shot;
	struct ball_state ball = shot_support_ball(RADIUS, 0.41, RADIUS, M_PI / 2.0, 0.6, 0.6, 0.0);
	struct cloth_motion motion;
	enum rail rail = RAIL_COUNT;
	double time;

	shot_support_start(&shot, 1);
	ball.velocity.x = 0.0; /* not the rounding of cos(pi/2) */
	ball.spin.y = 0.0;
	shot.constants.terms.slope_short = -0.001; /* away from the rail */
	motion = cloth_motion_start(&ball, &body, &shot.constants);
	ck_assert(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.0, &rail) == HUGE_VAL);
	shot.constants.terms.slope_short = 0.001; /* into it */
	motion = cloth_motion_start(&ball, &body, &shot.constants);
	time = event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.0, &rail);
	ck_assert(time > 0.0 && time < 1e-3);
	ck_assert_int_eq(rail, RAIL_LEFT);
	shot.constants.terms.slope_short = 0.0; /* along it: a straight way */
	shot.constants.terms.slope_long = 0.002;
	motion = cloth_motion_start(&ball, &body, &shot.constants);
	ck_assert(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.0, &rail) == HUGE_VAL);
	shot.constants.terms.slope_long = 0.0;
	shot.constants.terms.slope_short = 0.003; /* it leaves, and is brought back */
	for (int k = 2; k < 9; k++) {
		ball.velocity.x = pow(10.0, -k);
		ball.spin.y = ball.velocity.x / RADIUS;
		motion = cloth_motion_start(&ball, &body, &shot.constants);
		time = event_rail_time(&ball, &motion, RADIUS, &shot.table, motion.duration, &rail);
		ck_assert_int_eq(rail, RAIL_LEFT);
		/* Not later than on a parabola, as friction acts against the speed away. A way of
		 * 1e-13 m is none; a ball driven in from rest meets the rail 1e-6 s later. */
		ck_assert(time > 0.0 &&
		          time < 1e-6 + 2.0 * ball.velocity.x / (5.0 / 7.0 * 9.80665 * 0.003));
		ck_assert_double_eq_tol(path(&ball, &motion, time).x, RADIUS, 1e-12);
		ck_assert_double_ge(path(&ball, &motion, 0.5 * time).x, RADIUS - 1e-13);
	}
	ball.velocity.x = -0.01;
	motion = cloth_motion_start(&ball, &body, &shot.constants);
	ck_assert_double_eq(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.0, &rail), 0.0);
}
END_TEST

/* The times do not depend on where the motion began. */
START_TEST(later_states_give_the_same_times)
{
	struct random_stream stream = random_start(88401, 3);
	struct shot_support shot;
	int misses = 0, met = 0;

	shot_support_start(&shot, 1);
	for (int i = 0; i < CASES; i++) {
		struct ball_state ball, now;
		struct cloth_motion motion;
		enum rail rail = RAIL_COUNT, again = RAIL_COUNT;
		double time, cut;

		draw_slope(&stream, &shot.constants, 0.5);
		ball = draw_ball(&stream, &shot.table);
		motion = cloth_motion_start(&ball, &body, &shot.constants);
		time = event_rail_time(&ball, &motion, RADIUS, &shot.table, motion.duration, &rail);
		if (!(time < HUGE_VAL))
			continue;
		met++;
		cut = time * between(&stream, 0.01, 0.95);
		now = cloth_advance(&ball, &motion, RADIUS, cut);
		/* A time is told by the way as well as the speed at the rail allows. */
		misses += close_miss("later", i, "time", time,
		                     cut + event_rail_time(&now, &motion, RADIUS, &shot.table,
		                                           motion.duration - cut, &again),
		                     1e-9) +
		          close_false("later", i, "rail", rail == again);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(met, CASES / 5);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("events on a slope");
	TCase *rails = tcase_create("rails");

	tcase_add_test(rails, rail_times_equal_a_scan);
	tcase_add_test(rails, grazed_rails_are_met_or_missed);
	tcase_add_test(rails, frozen_balls_meet_their_rail_when_pulled);
	tcase_add_test(rails, later_states_give_the_same_times);
	suite_add_tcase(suite, rails);
	return close_run(suite);
}
