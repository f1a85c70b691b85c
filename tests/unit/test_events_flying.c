/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "shot/events.h"
#include "shot_support.h"

/* Balls in the air: their parabola, when they land, and the rails and balls they meet, against
 * closed forms worked out beside the program and against scanning the ways in small steps; and
 * balls of unequal size on the bed, whose line of centres is not level. */

#define CASES 2000
#define STEPS 1500
#define RADIUS 0.028575
#define G 9.80665

static const struct ball_body body = {RADIUS, 0.163, 1.0};

static double between(struct random_stream *stream, double low, double high)
{
	return shot_support_between(stream, low, high);
}

static struct constants flying_constants(void)
{
	struct constants constants = constants_centre();

	constants.terms.bed_restitution = 0.5;
	return constants;
}

static struct ball_state draw_flyer(struct random_stream *stream)
{
	struct ball_state ball =
	    shot_support_ball(between(stream, 0.1, 1.1), between(stream, 0.1, 2.4), RADIUS,
	                      between(stream, -M_PI, M_PI), between(stream, 0.0, 4.0), 0.7, 1.1);

	ball.position.z += between(stream, 0.0, 1.0) < 0.3 ? 0.0 : between(stream, 1e-6, 0.1);
	ball.velocity.z =
	    ball.position.z > RADIUS ? between(stream, -1.5, 1.5) : between(stream, 0.01, 1.5);
	return ball;
}

/* It lands after (vz + sqrt(vz^2 + 2 g h)) / g at a speed of the root, spin and level velocity as
 * they were (on a slope the pull acts along the bed in the air, too). */
START_TEST(flights_are_parabolas)
{
	struct random_stream stream = random_start(88501, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct constants constants = flying_constants();
		struct ball_state ball = draw_flyer(&stream), end, middle;
		double rise = ball.velocity.z, t, part;
		double root = sqrt(rise * rise + 2.0 * G * (ball.position.z - RADIUS));
		double slope = i % 2 == 0 ? 0.0 : 0.004;
		struct cloth_motion motion;

		constants.terms.slope_long = slope;
		motion = cloth_motion_start(&ball, &body, &constants);
		t = motion.duration;
		end = cloth_advance(&ball, &motion, RADIUS, t);
		part = random_uniform(&stream) * t;
		middle = cloth_advance(&ball, &motion, RADIUS, part);
		misses +=
		    close_false("flight", i, "flies", motion.phase == CLOTH_FLYING) +
		    close_miss("flight", i, "duration", (rise + root) / G, t, 1e-14) +
		    close_miss("flight", i, "height", RADIUS, end.position.z, 0.0) +
		    close_miss("flight", i, "speed down", -root, end.velocity.z, 1e-14) +
		    close_miss("flight", i, "x", ball.position.x + t * ball.velocity.x,
		               end.position.x, 1e-14) +
		    close_miss("flight", i, "y",
		               ball.position.y + t * ball.velocity.y - 0.5 * G * slope * t * t,
		               end.position.y, 1e-14) +
		    close_miss("flight", i, "vy", ball.velocity.y - G * slope * t, end.velocity.y,
		               1e-14) +
		    close_miss("flight", i, "spin", 0.0,
		               vector3_norm(vector3_subtract(end.spin, ball.spin)), 0.0) +
		    close_miss("flight", i, "height on the way",
		               ball.position.z + part * rise - 0.5 * G * part * part,
		               middle.position.z, 1e-14);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A ball flies only where balls may leave the bed, and not for rounding of its height. */
START_TEST(balls_fly_when_they_may)
{
	struct constants flying = flying_constants(), flat = constants_centre();
	struct ball_state ball = shot_support_ball(0.4, 0.7, RADIUS, 0.3, 0.9, 0.9, 0.0);

	ck_assert_int_eq(cloth_motion_start(&ball, &body, &flying).phase, CLOTH_ROLLING);
	ball.position.z = RADIUS + 5e-13;
	ck_assert_int_eq(cloth_motion_start(&ball, &body, &flying).phase, CLOTH_ROLLING);
	ball.position.z = RADIUS + 5e-12;
	ck_assert_int_eq(cloth_motion_start(&ball, &body, &flying).phase, CLOTH_FLYING);
	ck_assert_int_eq(cloth_motion_start(&ball, &body, &flat).phase, CLOTH_ROLLING);
	ball.position.z = RADIUS;
	ball.velocity.z = 1e-3;
	ck_assert_int_eq(cloth_motion_start(&ball, &body, &flying).phase, CLOTH_FLYING);
	ck_assert_int_eq(cloth_motion_start(&ball, &body, &flat).phase, CLOTH_ROLLING);
	ball.velocity.z = -1e-3; /* has landed: what that does is for physics/flight */
	ck_assert_int_eq(cloth_motion_start(&ball, &body, &flying).phase, CLOTH_ROLLING);
}
END_TEST

/* In the air a ball keeps its level velocity, so it comes to the frozen line of a rail after gap
 * over speed, if that is before it lands. */
START_TEST(flying_balls_meet_rails)
{
	struct random_stream stream = random_start(88501, 2);
	struct constants constants = flying_constants();
	struct shot_support shot;
	int misses = 0, met = 0;

	shot_support_start(&shot, 1);
	for (int i = 0; i < CASES; i++) {
		struct ball_state ball = draw_flyer(&stream);
		struct cloth_motion motion = cloth_motion_start(&ball, &body, &constants);
		enum rail rail = RAIL_COUNT;
		double time =
		    event_rail_time(&ball, &motion, RADIUS, &shot.table, motion.duration, &rail);
		double vx = ball.velocity.x, vy = ball.velocity.y;
		double x = vx > 0.0 ? shot.table.width - RADIUS - ball.position.x
		                    : ball.position.x - RADIUS;
		double y = vy > 0.0 ? shot.table.length - RADIUS - ball.position.y
		                    : ball.position.y - RADIUS;
		double wanted = fmin(x / fabs(vx), y / fabs(vy));

		if (wanted > motion.duration) {
			misses += close_false("rail", i, "lands first", time == HUGE_VAL);
			continue;
		}
		met++;
		misses += close_miss("rail", i, "time", wanted, time, 1e-13) +
		          close_false("rail", i, "which",
		                      rail_is_long(rail) == (x / fabs(vx) < y / fabs(vy)));
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(met, CASES / 10);
	ck_assert_int_gt(CASES - met, CASES / 10);
}
END_TEST

struct pair_case {
	struct ball_state ball[2];
	struct cloth_motion motion[2];
	double radius[2], within;
};

static void start_motions(struct pair_case *pair, const struct constants *constants)
{
	pair->within = HUGE_VAL;
	for (int k = 0; k < 2; k++) {
		struct ball_body sized = {pair->radius[k], 0.17, 1.0};

		pair->motion[k] = cloth_motion_start(&pair->ball[k], &sized, constants);
		pair->within = fmin(pair->within, pair->motion[k].duration);
	}
}

static double pair_gap(const struct pair_case *pair, double t)
{
	struct ball_state a = cloth_advance(&pair->ball[0], &pair->motion[0], pair->radius[0], t);
	struct ball_state b = cloth_advance(&pair->ball[1], &pair->motion[1], pair->radius[1], t);

	return vector3_norm(vector3_subtract(b.position, a.position)) - pair->radius[0] -
	       pair->radius[1];
}

static double pair_time(const struct pair_case *pair)
{
	struct event_pair both = {.state = {&pair->ball[0], &pair->ball[1]},
	                          .motion = {&pair->motion[0], &pair->motion[1]},
	                          .reach = pair->radius[0] + pair->radius[1]};

	return event_pair_time(&both, pair->within);
}

static int check_pair_case(const char *name, int i, const struct pair_case *pair, int *met)
{
	double time = pair_time(pair), end = fmin(time, pair->within), least = HUGE_VAL;

	for (int k = 1; k < STEPS; k++)
		least = fmin(least, pair_gap(pair, end * k / STEPS));
	if (time == HUGE_VAL)
		return close_false(name, i, "nothing is met at all", least > -1e-12);
	(*met)++;
	return close_false(name, i, "nothing is met before", least > -1e-12) +
	       close_false(name, i, "within both phases", time <= pair->within) +
	       close_miss(name, i, "gap", 0.0, pair_gap(pair, time), 1e-12);
}

/* A ball that flies toward another, at rest, rolling, or in the air too. */
START_TEST(flying_pairs_equal_a_scan)
{
	struct random_stream stream = random_start(88501, 3);
	int misses = 0, met = 0, over = 0;

	for (int i = 0; i < CASES; i++) {
		struct constants constants = flying_constants();
		struct pair_case pair = {.radius = {RADIUS, between(&stream, 0.8, 1.2) * RADIUS}};
		double away =
		    pair.radius[0] + pair.radius[1] + pow(10.0, between(&stream, -4.0, -0.5));
		double way = between(&stream, -M_PI, M_PI), v = between(&stream, 0.5, 3.0);
		double beside = between(&stream, -1.0, 1.0) * 1.5 * RADIUS / away, least = HUGE_VAL;

		constants.terms.slope_short = i % 3 == 0 ? 0.003 : 0.0;
		pair.ball[0] = shot_support_ball(0.6, 1.2, RADIUS, way + beside, v, 0.5, 0.0);
		pair.ball[0].position.z += between(&stream, 0.0, 1.2) * RADIUS;
		pair.ball[0].velocity.z = between(&stream, 0.1, 1.3);
		pair.ball[1] =
		    shot_support_ball(0.6 + away * cos(way), 1.2 + away * sin(way), pair.radius[1],
		                      between(&stream, -M_PI, M_PI), i % 4 == 0 ? 0.4 : 0.0,
		                      i % 4 == 0 ? 0.4 : 0.0, 0.0);
		if (i % 5 == 0)
			pair.ball[1].velocity.z = between(&stream, 0.1, 1.0);
		start_motions(&pair, &constants);
		misses += check_pair_case("air", i, &pair, &met);
		for (int k = 0; k <= STEPS; k++) {
			double t = pair.within * k / STEPS;
			struct vector3 d = vector3_subtract(
			    cloth_advance(&pair.ball[1], &pair.motion[1], pair.radius[1], t)
				.position,
			    cloth_advance(&pair.ball[0], &pair.motion[0], pair.radius[0], t)
				.position);

			least = fmin(least, vector3_norm_flat(d));
		}
		over += pair_time(&pair) == HUGE_VAL && least < pair.radius[0] + pair.radius[1];
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(met, CASES / 5);
	ck_assert_int_gt(over, CASES / 50); /* over the other ball, not into it */
}
END_TEST

/* Straight down on a ball at rest: it has come down by the gap h after sqrt(2 h / g). */
START_TEST(dropped_balls_meet_from_above)
{
	struct constants constants = flying_constants();

	for (int i = 1; i < 9; i++) {
		double h = ldexp(0.05, -i);
		struct pair_case pair = {.radius = {RADIUS, RADIUS}};

		pair.ball[0].position = vector3_make(0.513, 0.719, 3.0 * RADIUS + h);
		pair.ball[1].position = vector3_make(0.513, 0.719, RADIUS);
		start_motions(&pair, &constants);
		ck_assert_double_eq_tol(pair_time(&pair), sqrt(2.0 * h / G), 1e-14);
	}
}
END_TEST

/* On the bed, balls of radii R and r meet when their centres are sqrt((R + r)^2 - (R - r)^2) =
 * 2 sqrt(R r) apart in plan. */
START_TEST(unequal_balls_meet_where_they_touch)
{
	struct random_stream stream = random_start(88501, 4);
	int misses = 0, met = 0;

	for (int i = 0; i < CASES; i++) {
		struct constants constants = constants_centre();
		struct pair_case pair = {
		    .radius = {between(&stream, 0.02, 0.04), between(&stream, 0.02, 0.04)}};
		double reach = 2.0 * sqrt(pair.radius[0] * pair.radius[1]);
		double away = reach + between(&stream, 0.05, 0.3), beside, v, a, s, wanted;

		beside = between(&stream, -0.95, 0.95) * reach;
		v = between(&stream, 0.3, 1.5);
		pair.ball[0] = shot_support_ball(0.2, 0.3, pair.radius[0], 0.0, v, v, 0.0);
		pair.ball[1].position = vector3_make(0.2 + away, 0.3 + beside, pair.radius[1]);
		start_motions(&pair, &constants);
		a = constants.value[ROLLING_RESISTANCE] * G;
		s = away - sqrt(reach * reach - beside * beside);
		if (s > 0.9 * v * v / (2.0 * a))
			continue;
		met++;
		wanted = 2.0 * s / (v + sqrt(v * v - 2.0 * a * s));
		misses += close_miss("unequal", i, "time", wanted, pair_time(&pair), 1e-12);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(met, CASES / 2);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("balls in the air");
	TCase *tests = tcase_create("flying");

	tcase_add_test(tests, flights_are_parabolas);
	tcase_add_test(tests, balls_fly_when_they_may);
	tcase_add_test(tests, flying_balls_meet_rails);
	tcase_add_test(tests, flying_pairs_equal_a_scan);
	tcase_add_test(tests, dropped_balls_meet_from_above);
	tcase_add_test(tests, unequal_balls_meet_where_they_touch);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
