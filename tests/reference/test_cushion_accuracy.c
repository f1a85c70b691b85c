/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"
#include "impact_draw.h"
#include "impact_reference.h"

/* How exact the integration of the cushion impact is: against itself with tighter tolerances, and
 * against a second implementation; and that all four rails are the same rail. */

/* A refused impact gives no numbers, which then miss everything wanted. */
static void solve_within(double tolerance, struct impact_draw *drawn)
{
	if (cushion_solve(&drawn->contact, tolerance, &drawn->velocity, &drawn->spin_speed, NULL) !=
	    STATUS_OK)
		drawn->velocity = drawn->spin_speed = vector3_make(NAN, NAN, NAN);
}

static double distance(const struct impact_draw *one, const struct impact_draw *other)
{
	return hypot(vector3_norm(vector3_subtract(one->velocity, other->velocity)),
	             vector3_norm(vector3_subtract(one->spin_speed, other->spin_speed)));
}

/* cushion.h: the tolerance is relative to the speed, here of the whole state. */
#define TOLERANCES_ALLOWED 5.0

START_TEST(tolerances_converge)
{
	static const double tolerances[] = {1e-4, 1e-6, 1e-8, 1e-11};
	static const char *const names[] = {"within 1e-4", "within 1e-6", "within 1e-8"};
	struct random_stream random = random_start(8887, 1);
	int misses = 0;

	for (int i = 0; i < 2000; i++) {
		struct impact_draw start = impact_draw(&random, i), drawn[4];
		double size = hypot(vector3_norm(start.velocity), vector3_norm(start.spin_speed));

		for (int j = 0; j < 4; j++) {
			drawn[j] = start;
			solve_within(tolerances[j], &drawn[j]);
		}
		for (int j = 0; j < 3; j++)
			misses += close_miss("convergence", i, names[j], 0.0,
			                     distance(&drawn[j], &drawn[3]),
			                     TOLERANCES_ALLOWED * tolerances[j] * size);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The tolerance that shots are played with, where the bed bears whatever the nose does and steps of
 * another kind are taken: every second ball rolls up to the cushion. */
START_TEST(usual_tolerance_is_kept)
{
	struct random_stream random = random_start(8887, 5);
	int misses = 0;

	for (int i = 0; i < 20000; i++) {
		struct impact_draw drawn = impact_draw(&random, i % 2 == 0 ? 1 : i), tight;
		double size = hypot(vector3_norm(drawn.velocity), vector3_norm(drawn.spin_speed));

		drawn.contact.friction =
		    impact_between(&random, 0.02, 0.99 * tan(asin(drawn.contact.nose_sine)));
		tight = drawn;
		solve_within(CUSHION_TOLERANCE, &drawn);
		solve_within(1e-11, &tight);
		misses += close_miss("usual", i, "within 1e-8", 0.0, distance(&drawn, &tight),
		                     CUSHION_TOLERANCE * size);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The smoothing of the second implementation leaves an error of about its size. */
#define SMOOTHING 3e-6

START_TEST(second_implementation_agrees)
{
	struct random_stream random = random_start(8887, 2);
	int misses = 0;

	for (int i = 0; i < 60; i++) {
		struct impact_draw drawn = impact_draw(&random, i);
		const struct cushion_contact *contact = &drawn.contact;
		struct reference_impact plain = {contact->nose_sine, contact->restitution,
		                                 contact->friction, contact->bed_friction,
		                                 SMOOTHING};
		double state[REFERENCE_SIZE] = {
		    drawn.velocity.x,   drawn.velocity.y,   0.0, drawn.spin_speed.x,
		    drawn.spin_speed.y, drawn.spin_speed.z, 0.0};

		reference_solve(&plain, state);
		solve_within(CUSHION_TOLERANCE, &drawn);
		misses += close_miss("second", i, "vx", state[0], drawn.velocity.x, 1e-5) +
		          close_miss("second", i, "vy", state[1], drawn.velocity.y, 1e-5) +
		          close_miss("second", i, "R wx", state[3], drawn.spin_speed.x, 1e-5) +
		          close_miss("second", i, "R wy", state[4], drawn.spin_speed.y, 1e-5) +
		          close_miss("second", i, "R wz", state[5], drawn.spin_speed.z, 1e-5);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Angle from the foot rail's frame (X = x, Y = y) to each rail's, counter-clockwise from above:
 * the rail's outward side is turned by it. rail.h and cushion.h. */
static double rail_turn(enum rail rail)
{
	switch (rail) {
	case RAIL_HEAD:
		return CLOSE_PI;
	case RAIL_LEFT:
		return 0.5 * CLOSE_PI;
	case RAIL_RIGHT:
		return -0.5 * CLOSE_PI;
	default:
		return 0.0;
	}
}

static struct vector3 turned(double angle, struct vector3 v)
{
	double c = cos(angle), s = sin(angle);

	return vector3_make(c * v.x - s * v.y, s * v.x + c * v.y, v.z);
}

START_TEST(all_rails_are_one_rail)
{
	struct random_stream random = random_start(8887, 3);
	const double radius = 0.0287;
	int misses = 0;

	for (int i = 0; i < 400; i++) {
		struct impact_draw drawn = impact_draw(&random, i), plain = drawn;
		enum rail rail = (enum rail)(i % RAIL_COUNT);
		double turn = rail_turn(rail);
		struct ball_state ball = {.position = {0.41, 0.73, radius}};
		struct vector3 v, w;

		ball.velocity = turned(turn, drawn.velocity);
		ball.spin = turned(turn, vector3_scale(1.0 / radius, drawn.spin_speed));
		solve_within(1e-11, &plain);
		ck_assert_int_eq(
		    cushion_rebound(rail, &drawn.contact, 0.0, 1e-11, radius, &ball, NULL),
		    STATUS_OK);
		v = vector3_subtract(turned(-turn, ball.velocity), plain.velocity);
		w = vector3_subtract(vector3_scale(radius, turned(-turn, ball.spin)),
		                     plain.spin_speed);
		misses += close_miss("rails", i, "velocity", 0.0, vector3_norm(v), 1e-9) +
		          close_miss("rails", i, "spin", 0.0, vector3_norm(w), 1e-9) +
		          close_miss("rails", i, "x", 0.41, ball.position.x, 0.0) +
		          close_miss("rails", i, "y", 0.73, ball.position.y, 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* An irregular rail turns the outgoing velocity, not the spin (physics.md 2); a velocity turned
 * back into the rail loses its part into it (cushion.h). */
START_TEST(irregular_rails_turn_the_velocity_alone)
{
	struct random_stream random = random_start(8887, 4);
	const double radius = 0.0287;
	int misses = 0, stopped = 0;

	for (int i = 0; i < 800; i++) {
		struct impact_draw drawn = impact_draw(&random, i);
		enum rail rail = (enum rail)(i % RAIL_COUNT);
		double turn = impact_between(&random, -0.5, 0.5);
		struct ball_state plain = {.velocity = turned(rail_turn(rail), drawn.velocity),
		                           .spin = turned(rail_turn(rail), drawn.spin_speed)};
		struct ball_state ball = plain;
		struct vector3 wanted, inward;

		cushion_rebound(rail, &drawn.contact, 0.0, CUSHION_TOLERANCE, radius, &plain, NULL);
		cushion_rebound(rail, &drawn.contact, turn, CUSHION_TOLERANCE, radius, &ball, NULL);
		wanted = turned(turn, plain.velocity);
		inward = turned(rail_turn(rail), vector3_make(0.0, 1.0, 0.0));
		if (vector3_dot(wanted, inward) > 0.0) {
			wanted = vector3_subtract(
			    wanted, vector3_scale(vector3_dot(wanted, inward), inward));
			stopped++;
		}
		misses += close_miss("turn", i, "velocity", 0.0,
		                     vector3_norm(vector3_subtract(wanted, ball.velocity)), 1e-14) +
		          close_miss("turn", i, "spin", 0.0,
		                     vector3_norm(vector3_subtract(plain.spin, ball.spin)), 0.0) +
		          close_false("turn", i, "leaves the rail",
		                      vector3_dot(ball.velocity, inward) <= 1e-15);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(stopped, 10);
}
END_TEST

/* cushion.h: a rail's frame is right-handed with Y into the rail, Z up, and there is a way back. */
START_TEST(rail_frames_look_into_the_rail)
{
	const struct vector3 into[RAIL_COUNT] = {[RAIL_HEAD] = {0.0, -1.0, 0.0},
	                                         [RAIL_FOOT] = {0.0, 1.0, 0.0},
	                                         [RAIL_LEFT] = {-1.0, 0.0, 0.0},
	                                         [RAIL_RIGHT] = {1.0, 0.0, 0.0}};

	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		struct vector3 v = vector3_make(0.37, -1.13, 0.59), back;
		struct vector3 y = cushion_to_rail((enum rail)rail, into[rail]);
		struct vector3 x = cushion_from_rail((enum rail)rail, vector3_make(1.0, 0.0, 0.0));

		back = cushion_from_rail((enum rail)rail, cushion_to_rail((enum rail)rail, v));
		ck_assert_double_eq(y.x, 0.0);
		ck_assert_double_eq(y.y, 1.0);
		ck_assert_double_eq(vector3_cross(x, into[rail]).z, 1.0);
		ck_assert_mem_eq(&back, &v, sizeof v);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("accuracy of the cushion impact");
	TCase *tests = tcase_create("accuracy");

	tcase_add_test(tests, tolerances_converge);
	tcase_add_test(tests, usual_tolerance_is_kept);
	tcase_add_test(tests, second_implementation_agrees);
	tcase_add_test(tests, all_rails_are_one_rail);
	tcase_add_test(tests, irregular_rails_turn_the_velocity_alone);
	tcase_add_test(tests, rail_frames_look_into_the_rail);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
