/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "shot/events.h"
#include "shot_support.h"

/* Times at which a ball meets a rail, against scanning the paths in small steps. A path here is
 * p + v t + a t^2 / 2 with the numbers of the phase of motion, worked out beside the program. */

#define CASES 4000
#define STEPS 4000
#define RADIUS 0.028575

static const struct ball_body body = {RADIUS, 0.163, 1.0};

static double between(struct random_stream *stream, double low, double high)
{
	return shot_support_between(stream, low, high);
}

static struct vector3 path(const struct ball_state *ball, const struct cloth_motion *motion,
                           double t)
{
	return vector3_add(ball->position,
	                   vector3_add(vector3_scale(t, ball->velocity),
	                               vector3_scale(0.5 * t * t, motion->acceleration)));
}

static struct ball_state random_ball(struct random_stream *stream, const struct table *table)
{
	double v = between(stream, 0.0, 4.0) * between(stream, 0.0, 1.0);
	bool rolls = random_uniform(stream) < 0.4;
	double heading = between(stream, -M_PI, M_PI);
	struct ball_state ball = shot_support_ball(between(stream, RADIUS, table->width - RADIUS),
	                                           between(stream, RADIUS, table->length - RADIUS),
	                                           RADIUS, heading, v, v, 1.3);

	if (!rolls) {
		ball.spin.x = between(stream, -1.5, 1.5) * v / RADIUS;
		ball.spin.y = between(stream, -1.5, 1.5) * v / RADIUS;
	}
	return ball;
}

/* Distance of the centre from the frozen line of a rail, positive inside. */
static double rail_gap(struct vector3 p, enum rail rail, const struct table *table)
{
	switch (rail) {
	case RAIL_HEAD:
		return p.y - RADIUS;
	case RAIL_FOOT:
		return table->length - RADIUS - p.y;
	case RAIL_LEFT:
		return p.x - RADIUS;
	default:
		return table->width - RADIUS - p.x;
	}
}

/* Smallest gap to any rail. */
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
	double end = fmin(time, motion->duration), scanned = HUGE_VAL;
	int misses = 0;

	for (int k = 1; k < STEPS && scanned == HUGE_VAL; k++) {
		double t = motion->duration * k / STEPS;

		if (least_gap(path(ball, motion, t), table) < -1e-12)
			scanned = t;
	}
	/* What the scan meets must have been met before, and by no more than one step of it, unless
	 * the path goes in and out between two steps. */
	misses += close_false("rail", i, "nothing is met before", scanned >= end - 1e-12);
	if (time == HUGE_VAL)
		return misses +
		       close_false("rail", i, "nothing is met at all", scanned == HUGE_VAL);
	(*met)++;
	misses += close_false("rail", i, "within the phase", time <= motion->duration) +
	          close_miss("rail", i, "gap", 0.0, rail_gap(path(ball, motion, time), rail, table),
	                     1e-12) +
	          close_false("rail", i, "the other rails are not met before",
	                      least_gap(path(ball, motion, time), table) > -1e-12);
	return misses;
}

START_TEST(rail_times_equal_a_scan)
{
	struct random_stream stream = random_start(88301, 1);
	struct shot_support shot;
	int misses = 0, met = 0, cases = 0;

	shot_support_start(&shot, 1);
	for (int i = 0; i < CASES; i++) {
		struct ball_state ball = random_ball(&stream, &shot.table);
		struct cloth_motion motion = cloth_motion_start(&ball, &body, &shot.constants);

		if (motion.phase == CLOTH_REST)
			continue;
		cases++;
		misses += check_rail_case(i, &ball, &motion, &shot.table, &met);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(met, cases / 5);
	ck_assert_int_gt(cases - met, cases / 5);
}
END_TEST

/* A ball whose path bends away from a rail just before or just behind it: the top of the parabola
 * is v^2 / 2a from where it starts. */
START_TEST(grazed_rails_are_met_or_missed)
{
	struct random_stream stream = random_start(88301, 2);
	struct shot_support shot;
	int misses = 0;

	shot_support_start(&shot, 1);
	for (int i = 0; i < CASES; i++) {
		double a = between(&stream, 0.05, 3.0), v = between(&stream, 0.01, 1.5);
		double over = pow(10.0, between(&stream, -12.0, -5.0)) * (i % 2 == 0 ? 1.0 : -1.0);
		struct cloth_motion motion = {.phase = CLOTH_SLIDING,
		                              .duration = 2.0 * v / a,
		                              .acceleration = {-a, 0.0, 0.0}};
		struct ball_state ball = {
		    .position = {shot.table.width - RADIUS - v * v / (2.0 * a) + over, 1.31,
		                 RADIUS},
		    .velocity = {v, 0.0, 0.0}};
		enum rail rail = RAIL_COUNT;
		double time =
		    event_rail_time(&ball, &motion, RADIUS, &shot.table, motion.duration, &rail);

		if (ball.position.x < 2.0 * RADIUS || v * v < 2e-3 * a)
			continue; /* does not fit on the table, or grazes from nearly nowhere */
		if (over < 0.0) {
			misses += close_false("graze", i, "missed", time == HUGE_VAL);
			continue;
		}
		misses += close_false("graze", i, "met", rail == RAIL_RIGHT) +
		          close_miss("graze", i, "time", (v - sqrt(2.0 * a * over)) / a, time,
		                     1e-8 + 2e-16 / sqrt(2.0 * a * over));
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Frozen to a rail: not met while it rolls along or leaves, met at once when it approaches, met
 * again when its own friction brings it back, met soon when it is driven in from rest. */
START_TEST(frozen_balls_meet_their_rail_when_driven)
{
	struct shot_support shot;
	struct ball_state ball = {.position = {RADIUS, 0.93, RADIUS}};
	struct cloth_motion motion = {.phase = CLOTH_SLIDING, .duration = 1.7};
	enum rail rail = RAIL_COUNT;

	shot_support_start(&shot, 1);
	ball.velocity = vector3_make(0.0, 0.4, 0.0);
	motion.acceleration = vector3_make(0.0, -0.1, 0.0);
	ck_assert(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.7, &rail) == HUGE_VAL);
	ball.velocity.x = 0.3;
	ck_assert(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.7, &rail) == HUGE_VAL);
	motion.acceleration.x = -0.8;
	ck_assert_double_eq_tol(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.7, &rail),
	                        2.0 * 0.3 / 0.8, 1e-13);
	ck_assert_int_eq(rail, RAIL_LEFT);
	ball.velocity.x = -0.02;
	ck_assert_double_eq(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.7, &rail), 0.0);
	ball.velocity.x = 0.0;
	ck_assert_double_gt(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.7, &rail), 0.0);
	ck_assert_double_lt(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.7, &rail), 1e-5);
	motion.acceleration.x = 0.8;
	ck_assert(event_rail_time(&ball, &motion, RADIUS, &shot.table, 1.7, &rail) == HUGE_VAL);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("events");
	TCase *rails = tcase_create("rails");

	tcase_add_test(rails, rail_times_equal_a_scan);
	tcase_add_test(rails, grazed_rails_are_met_or_missed);
	tcase_add_test(rails, frozen_balls_meet_their_rail_when_driven);
	suite_add_tcase(suite, rails);
	return close_run(suite);
}
