/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/cloth.h"
#include "physics/cue.h"

/* Cue on ball (physics.md 4, check-values.md 4). */

#define CASES 3000
#define RADIUS 0.028575

static const struct ball_body reference_ball = {RADIUS, 0.1634, 1.0};

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct stroke random_stroke(struct random_stream *random)
{
	double offset = 0.5 * sqrt(random_uniform(random));
	double direction = between(random, -CLOSE_PI, CLOSE_PI);

	return (struct stroke){.speed = between(random, 0.3, 6.0),
	                       .turn = between(random, -0.02, 0.02),
	                       .height = offset * sin(direction),
	                       .side = offset * cos(direction),
	                       .elevation = 0.0};
}

static struct ball_state struck(const struct stroke *stroke, double aim, double ratio)
{
	struct ball_state ball = {.position = {0.613, 0.741, RADIUS}};

	cue_strike(stroke, aim, ratio, 0.0, &reference_ball, &ball);
	return ball;
}

/* A vector of the table in axes along the shot (x), to its left (y) and up. */
static struct vector3 along_shot(const struct stroke *stroke, double aim, struct vector3 v)
{
	double c = cos(aim + stroke->turn), s = sin(aim + stroke->turn);

	return vector3_make(c * v.x + s * v.y, -s * v.x + c * v.y, v.z);
}

/* Squirt [deg] for side 0.1 to 0.5: check-values.md 4, three digits. Form: R. Shepard (2001) (value
 * from memory); R. Cross, Am. J. Phys. 76, 205 (2008) gives "a few degrees". */
START_TEST(squirt_matches_the_table)
{
	static const double rows[][6] = {{10, 1.058, 2.094, 3.085, 4.002, 4.806},
	                                 {15, .771, 1.525, 2.242, 2.899, 3.466},
	                                 {20, .607, 1.199, 1.761, 2.272, 2.709},
	                                 {30, .426, .840, 1.232, 1.586, 1.886},
	                                 {40, .328, .647, .947, 1.218, 1.446}};
	int misses = 0;

	for (int i = 0; i < 5; i++)
		for (int j = 1; j <= 5; j++) {
			struct stroke stroke = {1.7, 0.011, 0.0, 0.1 * j, 0.0};
			struct ball_state ball = struck(&stroke, 0.83, rows[i][0]);
			struct vector3 v = along_shot(&stroke, 0.83, ball.velocity);

			misses +=
			    close_miss("squirt", i, "angle", rows[i][j],
			               close_degrees(cue_squirt(0.1 * j, rows[i][0])), 6e-4) +
			    close_miss("squirt", i, "left side struck", -rows[i][j],
			               close_degrees(cue_squirt(-0.1 * j, rows[i][0])), 6e-4) +
			    close_miss("squirt", i, "path", rows[i][j],
			               close_degrees(atan2(v.y, v.x)), 6e-4) +
			    close_miss("squirt", i, "none known", 0.0, cue_squirt(0.1 * j, 0.0),
			               0.0);
		}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Struck 2/5 R above the centre a ball rolls at once: Coriolis (1835). R/2 gives 1.25. */
START_TEST(struck_at_two_fifths_a_ball_rolls)
{
	struct constants constants = constants_centre();

	for (double aim = -3.0; aim < 3.2; aim += 0.37) {
		struct stroke stroke = {1.93, -0.004, 0.4, 0.0, 0.0};
		struct ball_state ball = struck(&stroke, aim, 0.0);

		ck_assert_double_le(vector3_norm(ball_slip(&ball, RADIUS)), 1e-15);
		ck_assert_int_eq(cloth_motion_start(&ball, &reference_ball, &constants).phase,
		                 CLOTH_ROLLING);
		stroke.height = 0.5;
		ball = struck(&stroke, aim, 0.0);
		ck_assert_double_eq_tol(RADIUS * vector3_norm(ball.spin), 1.25 * 1.93, 1e-14);
	}
}
END_TEST

/* The same with side and a cue whose end mass is known: the impulse J of the strike sets the ball
 * going along itself, and r x J is square to it, whatever the squirt. */
START_TEST(squirted_ball_still_rolls_at_once)
{
	struct random_stream random = random_start(6101, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct stroke stroke = random_stroke(&random);
		struct ball_state ball;

		stroke.height = 0.4;
		stroke.side = between(&random, -0.3, 0.3);
		ball = struck(&stroke, between(&random, -3.0, 3.0), between(&random, 8.0, 60.0));
		misses += close_miss("rolls", i, "slip", 0.0,
		                     vector3_norm(ball_slip(&ball, RADIUS)), 1e-14);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Level cue, physics.md 4: v is the ball's speed, R w = 5/2 b v about the left and 5/2 a v about
 * the vertical, less with a known end mass. */
START_TEST(level_strikes_give_the_spins)
{
	struct random_stream random = random_start(6101, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct stroke stroke = random_stroke(&random);
		double aim = between(&random, -3.0, 3.0), v = stroke.speed, a = stroke.side;
		double ratio = between(&random, 8.0, 60.0);
		struct ball_state plain = struck(&stroke, aim, 0.0),
				  heavy = struck(&stroke, aim, ratio);
		struct vector3 way = along_shot(&stroke, aim, plain.velocity);
		struct vector3 rw = vector3_scale(RADIUS, along_shot(&stroke, aim, plain.spin));
		double wz = 2.5 * (a - sqrt(1.0 - a * a) * tan(cue_squirt(a, ratio))) * v;

		misses +=
		    close_miss("level", i, "along", v, way.x, 1e-14) +
		    close_miss("level", i, "beside", 0.0, way.y, 1e-14) +
		    close_miss("level", i, "up", 0.0, way.z, 0.0) +
		    close_miss("level", i, "R w along", 0.0, rw.x, 1e-14) +
		    close_miss("level", i, "topspin", 2.5 * stroke.height * v, rw.y, 1e-14) +
		    close_miss("level", i, "side", 2.5 * a * v, rw.z, 1e-14) +
		    close_miss("level", i, "speed with end mass", v, vector3_norm(heavy.velocity),
		               1e-14) +
		    close_miss("level", i, "side with end mass", wz, RADIUS * heavy.spin.z, 1e-14) +
		    close_miss("level", i, "place", 0.0,
		               vector3_norm(vector3_subtract(plain.position,
		                                             vector3_make(0.613, 0.741, RADIUS))),
		               0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Elevated cue, physics.md 4: the impulse runs along the cue's axis at the contact; side and height
 * lie square to that axis; w = (r x J) / I; the bed takes the downward part of J. */
START_TEST(elevated_strikes_follow_from_the_impulse)
{
	struct random_stream random = random_start(6101, 3);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct stroke stroke = random_stroke(&random);
		double aim = between(&random, -3.0, 3.0), slope;
		struct vector3 axis, right, above, arm, impulse, spin;
		struct ball_state ball;
		double depth, mass = reference_ball.mass, heading = aim + stroke.turn;

		stroke.elevation = slope = between(&random, 0.0, 1.2);
		axis =
		    vector3_make(cos(heading) * cos(slope), sin(heading) * cos(slope), -sin(slope));
		right = vector3_make(sin(heading), -cos(heading), 0.0);
		above = vector3_cross(right, axis);
		depth = sqrt(1.0 - stroke.side * stroke.side - stroke.height * stroke.height);
		arm = vector3_add(vector3_add(vector3_scale(RADIUS * stroke.side, right),
		                              vector3_scale(RADIUS * stroke.height, above)),
		                  vector3_scale(-RADIUS * depth, axis));
		impulse = vector3_scale(mass * stroke.speed / cos(slope), axis);
		spin = vector3_scale(1.0 / (0.4 * mass * RADIUS * RADIUS),
		                     vector3_cross(arm, impulse));
		ball = struck(&stroke, aim, 0.0);
		misses +=
		    close_false("elevated", i, "above points up", above.z > 0.0) +
		    close_miss("elevated", i, "vx", impulse.x / mass, ball.velocity.x, 1e-13) +
		    close_miss("elevated", i, "vy", impulse.y / mass, ball.velocity.y, 1e-13) +
		    close_miss("elevated", i, "vz", 0.0, ball.velocity.z, 0.0) +
		    close_miss("elevated", i, "spin", 0.0,
		               RADIUS * vector3_norm(vector3_subtract(ball.spin, spin)), 1e-13);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Swerve: with the butt raised and right-hand side the path bends to the right (common
 * practice). */
START_TEST(raised_butt_bends_the_path_to_the_side_struck)
{
	struct constants constants = constants_centre();

	for (int sign = -1; sign <= 1; sign += 2) {
		struct stroke stroke = {1.41, 0.0, 0.03, 0.37 * sign, 0.31};
		struct ball_state ball = struck(&stroke, 0.0, 0.0), end;

		end = cloth_roll_out(&ball, &reference_ball, &constants, NULL);
		ck_assert_double_gt(sign * ball.spin.z, 0.0);
		ck_assert_double_lt(sign * end.velocity.y, -0.01);
		ck_assert_double_lt(sign * (end.position.y - ball.position.y), -0.001);
	}
}
END_TEST

/* cue.h: in a groove of full angle G a ball rolls on two lines R sin(G / 2) below its centre, so
 * that it leaves with R w = v / sin(G / 2); a flat ramp, G = 180 degrees, releases it rolling. */
START_TEST(ramps_release_by_their_groove)
{
	static const double rows[][2] = {
	    {180.0, 1.0}, {90.0, 1.4142135623730951}, {60.0, 2.0}, {120.0, 1.1547005383792515}};
	int misses = 0;

	for (int i = 0; i < 4; i++) {
		struct stroke stroke = {0.873, 0.0071, 0.2, -0.1, 0.3};
		struct ball_state ball = {.position = {0.613, 0.741, RADIUS},
		                          .spin = {1.0, 2.0, 3.0}};
		struct vector3 v, rw;

		cue_release(&stroke, -1.31, close_radians(rows[i][0]), &reference_ball, &ball);
		v = along_shot(&stroke, -1.31, ball.velocity);
		rw = vector3_scale(RADIUS, along_shot(&stroke, -1.31, ball.spin));
		misses += close_miss("ramp", i, "along", 0.873, v.x, 1e-15) +
		          close_miss("ramp", i, "beside", 0.0, v.y, 1e-15) +
		          close_miss("ramp", i, "R w along", 0.0, rw.x, 1e-15) +
		          close_miss("ramp", i, "R w", rows[i][1] * 0.873, rw.y, 1e-14) +
		          close_miss("ramp", i, "side", 0.0, rw.z, 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("cue on ball");
	TCase *tests = tcase_create("cue");

	tcase_add_test(tests, squirt_matches_the_table);
	tcase_add_test(tests, struck_at_two_fifths_a_ball_rolls);
	tcase_add_test(tests, squirted_ball_still_rolls_at_once);
	tcase_add_test(tests, level_strikes_give_the_spins);
	tcase_add_test(tests, elevated_strikes_follow_from_the_impulse);
	tcase_add_test(tests, raised_butt_bends_the_path_to_the_side_struck);
	tcase_add_test(tests, ramps_release_by_their_groove);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
