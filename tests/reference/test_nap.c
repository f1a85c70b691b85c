/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/slope.h"

/* A ball on a napped cloth (physics/cloth.h): with and against the nap against the parabola of a
 * constant deceleration, across it against the drift to first order, and everywhere against a slope
 * of 7/5 of the push, on which a rolling ball moves alike and a sliding one does not. */

#define RADIUS 0.02625 /* a snooker ball [m] */
#define CASES 400

static const struct ball_body body = {RADIUS, 0.142, 1.0};

static struct constants napped(double resistance, double push)
{
	struct constants constants = constants_centre();

	constants.value[ROLLING_RESISTANCE] = resistance;
	constants.terms.nap_long = push;
	return constants;
}

static struct ball_state rolling(double vx, double vy)
{
	return (struct ball_state){.position = {0.7, 1.1, RADIUS},
	                           .velocity = {vx, vy, 0.0},
	                           .spin = {-vy / RADIUS, vx / RADIUS, 0.0}};
}

/* v^2 / (2 (0.0127 -+ 0.0023) g), 0.71 m/s: 2.47134 m with the nap, 1.71346 m against it. */
START_TEST(a_ball_rolls_farther_with_the_nap)
{
	static const double way[] = {2.47134, 1.71346};
	struct constants constants = napped(0.0127, 0.0023);

	for (int against = 0; against < 2; against++) {
		double sign = against ? -1.0 : 1.0, rate = (0.0127 - sign * 0.0023) * STANDARD_GRAVITY;
		struct ball_state start = rolling(0.0, sign * 0.71), end;
		struct cloth_motion motion = cloth_motion_start(&start, &body, &constants);

		end = cloth_advance(&start, &motion, RADIUS, motion.duration);
		ck_assert_double_eq_tol(sign * (end.position.y - 1.1), way[against], 5e-6);
		ck_assert_double_eq_tol(motion.duration, 0.71 / rate, 1e-12);
		ck_assert_double_eq_tol(end.position.x, 0.7, 1e-12);
		end = cloth_advance(&start, &motion, RADIUS, 0.5 * motion.duration);
		ck_assert_double_eq_tol(sign * end.velocity.y, 0.355, 1e-12);
	}
}
END_TEST

/* n d / (2 mu): 0.0002 over 0.0254 of 1.9 m is 14.96 mm; the next order is relative (n / mu)^2. */
START_TEST(a_ball_rolled_across_drifts_with_the_nap)
{
	double speed = sqrt(2.0 * 0.0127 * STANDARD_GRAVITY * 1.9);
	struct constants constants = napped(0.0127, 0.0002);
	struct ball_state start = rolling(speed, 0.0), end;
	struct cloth_motion motion = cloth_motion_start(&start, &body, &constants);

	end = cloth_advance(&start, &motion, RADIUS, motion.duration);
	ck_assert_double_eq_tol(end.position.y - 1.1, 0.01496, 1e-5);
	ck_assert_double_eq_tol(end.position.x - 0.7, 1.9, 1.9 * 0.0003);
}
END_TEST

START_TEST(a_rolling_ball_moves_as_on_a_slope)
{
	struct random_stream random = random_start(5081, 2);

	for (int i = 0; i < CASES; i++) {
		double mu = 0.004 + 0.02 * random_uniform(&random);
		double push = mu * (1.8 * random_uniform(&random) - 0.9);
		double way = 2.0 * CLOSE_PI * random_uniform(&random), share = random_uniform(&random);
		struct constants nap = napped(mu, push), slope = napped(mu, 0.0);
		struct ball_state start = rolling(1.3 * cos(way), 1.3 * sin(way)), a, b;
		struct cloth_motion by_nap, by_slope;

		slope.terms.slope_long = -1.4 * push;
		ck_assert(slope_stops(&nap));
		by_nap = cloth_motion_start(&start, &body, &nap);
		by_slope = cloth_motion_start(&start, &body, &slope);
		ck_assert_double_eq_tol(by_nap.duration, by_slope.duration, 1e-9 * by_slope.duration);
		a = cloth_advance(&start, &by_nap, RADIUS, share * by_nap.duration);
		b = cloth_advance(&start, &by_slope, RADIUS, share * by_nap.duration);
		ck_assert_double_le(vector3_norm(vector3_subtract(a.position, b.position)), 1e-9);
		ck_assert_double_le(vector3_norm(vector3_subtract(a.velocity, b.velocity)), 1e-9);
		ck_assert_double_le(vector3_norm(vector3_subtract(a.spin, b.spin)), 1e-7);
	}
}
END_TEST

START_TEST(a_sliding_ball_does_not_feel_it)
{
	struct constants nap = napped(0.0127, 0.0031), level = napped(0.0127, 0.0);
	struct ball_state start = {.position = {0.7, 1.1, RADIUS}, .velocity = {0.9, 1.7, 0.0}}, a, b;
	struct cloth_motion by_nap = cloth_motion_start(&start, &body, &nap);
	struct cloth_motion plain = cloth_motion_start(&start, &body, &level);

	ck_assert(by_nap.phase == CLOTH_SLIDING && !by_nap.curved);
	ck_assert_double_eq(by_nap.duration, plain.duration);
	a = cloth_advance(&start, &by_nap, RADIUS, 0.77 * plain.duration);
	b = cloth_advance(&start, &plain, RADIUS, 0.77 * plain.duration);
	ck_assert_double_eq(a.position.y, b.position.y);
	ck_assert_double_eq(a.velocity.x, b.velocity.x);
	ck_assert_double_eq(a.spin.x, b.spin.x);
}
END_TEST

/* The nose carries a ball that the nap would push into it; at the other end it is pushed away. */
START_TEST(a_rail_holds_a_ball_against_the_nap)
{
	struct constants constants = napped(0.0127, 0.0023);

	ck_assert(slope_held(&constants, RAIL_FOOT).terms.nap_long == 0.0);
	ck_assert(slope_held(&constants, RAIL_HEAD).terms.nap_long == 0.0023);
	ck_assert(slope_held(&constants, RAIL_LEFT).terms.nap_long == 0.0023);
	constants.terms.slope_long = 0.0021; /* uphill to the foot by 5/7 of it: the rest is held */
	ck_assert_double_eq_tol(slope_held(&constants, RAIL_FOOT).terms.nap_long, 0.0015, 1e-15);
	constants.terms.nap_long = -0.0023;
	ck_assert_double_eq_tol(slope_held(&constants, RAIL_HEAD).terms.nap_long, 0.0, 1e-15);
	ck_assert(slope_held(&constants, RAIL_FOOT).terms.nap_long == -0.0023);
}
END_TEST

/* Push and slope together. */
START_TEST(a_ball_stops_where_it_must)
{
	struct constants constants = napped(0.0127, 0.0126);

	ck_assert(slope_stops(&constants));
	constants.terms.slope_long = -0.0003;
	ck_assert(!slope_stops(&constants));
	constants.terms.slope_long = 0.0;
	constants.terms.nap_long = -0.0128;
	ck_assert(!slope_stops(&constants));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("nap");
	TCase *tests = tcase_create("nap");

	tcase_add_test(tests, a_ball_rolls_farther_with_the_nap);
	tcase_add_test(tests, a_ball_rolled_across_drifts_with_the_nap);
	tcase_add_test(tests, a_rolling_ball_moves_as_on_a_slope);
	tcase_add_test(tests, a_sliding_ball_does_not_feel_it);
	tcase_add_test(tests, a_rail_holds_a_ball_against_the_nap);
	tcase_add_test(tests, a_ball_stops_where_it_must);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
