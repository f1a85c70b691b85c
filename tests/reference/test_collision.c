/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "physics/cloth.h"
#include "physics/collision.h"

/* Ball on ball against closed forms worked out beside the program: check-values.md 3.1 (free balls,
 * vertical velocities included) and 3.3.
 * Friction of about 0.06: R. Cross, Am. J. Phys. 76, 205 (2008), introduction. */

#define RADIUS 0.028575

static const struct ball_body reference_ball = {RADIUS, 0.1634, 1.0};

struct pair {
	struct ball_state cue, object;
};

static struct vector3 turned(double angle, struct vector3 v)
{
	double c = cos(angle), s = sin(angle);

	return vector3_make(c * v.x - s * v.y, s * v.x + c * v.y, v.z);
}

/* A cue ball with speed 1 that touches a resting ball; the line of centres has the direction
 * `centres`, the cut is to the left of it; topspin 1 is rolling, side = R wz. */
static struct pair touching(double centres, double cut, double topspin, double side)
{
	struct pair pair = {.cue = {.position = {0.433, 0.871, RADIUS}},
	                    .object = {.position = {0}}};

	pair.cue.velocity = turned(centres, vector3_make(cos(cut), sin(cut), 0.0));
	pair.cue.spin = vector3_scale(
	    1.0 / RADIUS,
	    turned(centres, vector3_make(-topspin * sin(cut), topspin * cos(cut), side)));
	pair.object.position =
	    vector3_add(pair.cue.position, turned(centres, vector3_make(2.0 * RADIUS, 0.0, 0.0)));
	return pair;
}

static struct pair collide(struct pair pair, double restitution, double friction)
{
	struct collision_contact contact = {.restitution = restitution, .friction = friction};
	struct collision_change change = collision_solve(&pair.cue, &reference_ball, &pair.object,
	                                                 &reference_ball, &contact);

	pair.cue.velocity = vector3_add(pair.cue.velocity, change.velocity[0]);
	pair.cue.spin = vector3_add(pair.cue.spin, change.spin[0]);
	pair.object.velocity = vector3_add(pair.object.velocity, change.velocity[1]);
	pair.object.spin = vector3_add(pair.object.spin, change.spin[1]);
	return pair;
}

static double pair_energy(const struct pair *pair)
{
	return ball_energy(&pair->cue, &reference_ball) +
	       ball_energy(&pair->object, &reference_ball);
}

/* check-values.md 3.1; object and cue are velocities, spin is R w of the object ball. */
static const struct hit_row {
	double cut, e, mu, topspin, side, throw_angle;
	double object[3], cue[2], spin[3], energy;
} hit_rows[] = {
    {30, 1, .06, 0, 0, 3.4336, {.86603, .05196, 0}, {0, .44804}, {0, 0, -.12990}, .96694},
    {30, .95, .06, 0, 0, 3.4336, {.84437, .05066, 0}, {.02165, .44934}, {0, 0, -.12666}, .93074},
    {30,
     .95,
     .06,
     1,
     0,
     1.7184,
     {.84437, .02533, -.04388},
     {.02165, .47467},
     {0, -.10969, -.06333},
     .91434},
    {45, .95, .06, 0, 0, 3.4336, {.68943, .04137, 0}, {.01768, .66574}, {0, 0, -.10341}, .92910},
    {20, 1, .20, 0, 0, 2.9765, {.93969, .04886, 0}, {0, .29316}, {0, 0, -.12215}, .98329},
    {0, 1, .20, 0, .5, 4.0856, {1, .07143, 0}, {0, -.07143}, {0, 0, -.17857}, .96753},
    {0, .95, .06, 0, .5, 3.4336, {.975, .0585, 0}, {.025, -.0585}, {0, 0, -.14625}, .92428},
    {0,
     .95,
     .06,
     1,
     .5,
     1.5370,
     {.975, .02616, -.05232},
     {.025, -.02616},
     {0, -.13081, -.06540},
     .89626},
    {30, 1, .06, 0, -.5, 0, {.86603, 0, 0}, {0, .5}, {0, 0, 0}, 1},
    {60,
     .95,
     .04,
     1,
     0,
     1.9840,
     {.4875, .01689, -.00975},
     {.0125, .84914},
     {0, -.02438, -.04222},
     .96534},
};

static int check_hit(int i, double centres)
{
	const struct hit_row *row = &hit_rows[i];
	struct pair before = touching(centres, close_radians(row->cut), row->topspin, row->side);
	struct pair after = collide(before, row->e, row->mu);
	struct vector3 object = turned(-centres, after.object.velocity);
	struct vector3 cue = turned(-centres, after.cue.velocity);
	struct vector3 spin = vector3_scale(RADIUS, turned(-centres, after.object.spin));
	struct vector3 gained = vector3_scale(
	    RADIUS, turned(-centres, vector3_subtract(after.cue.spin, before.cue.spin)));

	return close_miss("3.1", i, "throw", row->throw_angle,
	                  close_degrees(atan2(object.y, object.x)), 6e-5) +
	       close_miss("3.1", i, "object vx", row->object[0], object.x, 6e-6) +
	       close_miss("3.1", i, "object vy", row->object[1], object.y, 6e-6) +
	       close_miss("3.1", i, "object vz", row->object[2], object.z, 6e-6) +
	       close_miss("3.1", i, "cue vx", row->cue[0], cue.x, 6e-6) +
	       close_miss("3.1", i, "cue vy", row->cue[1], cue.y, 6e-6) +
	       close_miss("3.1", i, "cue vz", -object.z, cue.z, 0.0) +
	       close_miss("3.1", i, "R wx", row->spin[0], spin.x, 6e-6) +
	       close_miss("3.1", i, "R wy", row->spin[1], spin.y, 6e-6) +
	       close_miss("3.1", i, "R wz", row->spin[2], spin.z, 6e-6) +
	       close_miss("3.1", i, "both turn alike", 0.0,
	                  vector3_norm(vector3_subtract(spin, gained)), 1e-14) +
	       close_miss("3.1", i, "energy", row->energy,
	                  pair_energy(&after) / pair_energy(&before), 7e-6);
}

START_TEST(hits_match_the_table)
{
	int misses = 0;

	for (int i = 0; i < (int)(sizeof hit_rows / sizeof *hit_rows); i++)
		misses += check_hit(i, 0.0) + check_hit(i, 0.7) + check_hit(i, -2.9);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Throw without spin [rad]. */
static double throw_angle(double cut, double restitution, double friction)
{
	struct pair after = collide(touching(0.0, cut, 0.0, 0.0), restitution, friction);

	return atan2(after.object.velocity.y, after.object.velocity.x);
}

/* 3.1: a stuck contact throws by tan(cut) / 7 (e = 1), a slipping one by mu; the change is where
 * tan(cut) = 7/2 (1 + e) mu; side against the cut takes the throw away. */
START_TEST(throw_has_its_two_limits)
{
	for (double cut = 0.013; cut < 1.5; cut += 0.0371) {
		double e = 0.83 + 0.1 * cut, mu = 0.137, change = atan(3.5 * (1.0 + e) * mu);
		struct pair after = collide(touching(1.9, cut, 0.0, -sin(cut)), e, mu);

		ck_assert_double_eq_tol(tan(throw_angle(cut, 1.0, 50.0)), tan(cut) / 7.0, 1e-13);
		ck_assert_double_eq_tol(tan(throw_angle(cut, e, mu)),
		                        cut < change ? tan(cut) / (3.5 * (1.0 + e)) : mu, 1e-13);
		ck_assert_double_eq_tol(turned(-1.9, after.object.velocity).y, 0.0, 1e-15);
	}
}
END_TEST

/* Deflection of a rolling cue ball once it rolls again, without ball friction [rad]. */
static double deflection(double cut, double restitution)
{
	struct constants constants = {.value = {[SLIDING_FRICTION] = 0.217,
	                                        [ROLLING_RESISTANCE] = 0.0113,
	                                        [SPIN_FRICTION] = 0.0097}};
	struct pair after = collide(touching(0.37, cut, 1.0, 0.0), restitution, 0.0);
	struct ball_state end = cloth_roll_out(&after.cue, &reference_ball, &constants, NULL);
	struct vector3 v = turned(-0.37 - cut, end.velocity);

	return atan2(v.y, v.x);
}

/* Cut of the largest deflection, by golden section. */
static double natural_cut(double restitution)
{
	double low = 0.1, high = 1.2, ratio = 0.5 * (sqrt(5.0) - 1.0);

	for (int i = 0; i < 60; i++) {
		double left = high - ratio * (high - low), right = low + ratio * (high - low);

		if (deflection(left, restitution) > deflection(right, restitution))
			high = right;
		else
			low = left;
	}
	return 0.5 * (low + high);
}

/* check-values.md 3.3: deflection [deg] for cuts of 10 to 75 degrees, then the largest and its cut
 * (two digits for that last one). */
static const double cuts[] = {10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 75};
static const double deflections[][14] = {
    {1.00, 21.681, 28.162, 31.868, 33.504, 33.670, 32.802, 31.196, 29.055, 26.518, 20.633, 10.622,
     33.749, 28.13},
    {0.98, 21.052, 27.457, 31.179, 32.870, 33.104, 32.303, 30.760, 28.677, 26.194, 20.403, 10.513,
     33.159, 28.42},
    {0.95, 20.150, 26.433, 30.170, 31.935, 32.265, 31.561, 30.111, 28.113, 25.709, 20.059, 10.350,
     32.293, 28.85},
    {0.93, 19.574, 25.773, 29.513, 31.323, 31.712, 31.071, 29.681, 27.739, 25.387, 19.830, 10.241,
     31.728, 29.14},
    {0.90, 18.748, 24.815, 28.552, 30.421, 30.894, 30.343, 29.040, 27.181, 24.906, 19.487, 10.077,
     30.898, 29.55},
};

START_TEST(deflections_match_the_table)
{
	int misses = 0;

	for (int i = 0; i < 5; i++) {
		const double *row = deflections[i];
		double best = natural_cut(row[0]);

		for (int j = 0; j < 11; j++)
			misses += close_miss(
			    "3.3", i, "deflection", row[j + 1],
			    close_degrees(deflection(close_radians(cuts[j]), row[0])), 6e-4);
		misses += close_miss("3.3", i, "largest", row[12],
		                     close_degrees(deflection(best, row[0])), 6e-4) +
		          close_miss("3.3", i, "its cut", row[13], close_degrees(best), 6e-3);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* 3.3: quarter and three-quarter ball, e = 1 and 0.95. */
START_TEST(quarter_balls_match_the_list)
{
	static const double list[][3] = {{0.25, 27.267, 26.422}, {0.75, 27.626, 25.905}};
	int misses = 0;

	for (int i = 0; i < 2; i++) {
		double cut = asin(1.0 - list[i][0]);

		misses += close_miss("3.3 part", i, "e 1", list[i][1],
		                     close_degrees(deflection(cut, 1.0)), 6e-4) +
		          close_miss("3.3 part", i, "e 0.95", list[i][2],
		                     close_degrees(deflection(cut, 0.95)), 6e-4);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* 3.3: with e = 1 the largest deflection has sin(cut) = sqrt(2)/3 and tan = 5 / (2 sqrt 14). About
 * 33 degrees at half a ball: W. Broadfoot, Billiards (1896), "The half-ball angle". */
START_TEST(natural_angle_is_where_theory_says)
{
	double best = natural_cut(1.0);

	ck_assert_double_eq_tol(sin(best), sqrt(2.0) / 3.0, 1e-6);
	ck_assert_double_eq_tol(tan(deflection(best, 1.0)), 5.0 / (2.0 * sqrt(14.0)), 1e-13);
	ck_assert_double_eq_tol(close_degrees(deflection(best, 1.0)), 33.7490, 6e-5);
	ck_assert_double_eq_tol(close_degrees(deflection(asin(0.5), 0.97)), 33.0, 1.0);
}
END_TEST

/* 3.3: a full hit by a rolling ball; final speeds and the ratio of the rolls (four digits). */
START_TEST(full_hits_share_the_roll)
{
	static const double list[][2] = {{1.0, 6.2500}, {0.95, 5.2630}, {0.90, 4.4568}};
	struct constants constants = {.value = {[SLIDING_FRICTION] = 0.217,
	                                        [ROLLING_RESISTANCE] = 0.0113,
	                                        [SPIN_FRICTION] = 0.0097}};
	int misses = 0;

	for (int i = 0; i < 3; i++) {
		double e = list[i][0];
		struct pair after = collide(touching(2.2, 0.0, 1.0, 0.0), e, 0.0);
		struct ball_state cue =
		    cloth_roll_out(&after.cue, &reference_ball, &constants, NULL);
		struct ball_state object =
		    cloth_roll_out(&after.object, &reference_ball, &constants, NULL);
		double cue_speed = vector3_norm(cue.velocity);
		double object_speed = vector3_norm(object.velocity);

		misses += close_miss("3.3 full", i, "cue", (2.5 * (1.0 - e) + 2.0) / 7.0, cue_speed,
		                     1e-14) +
		          close_miss("3.3 full", i, "object", 5.0 / 7.0 * (1.0 + e) / 2.0,
		                     object_speed, 1e-14) +
		          close_miss("3.3 full", i, "ratio", list[i][1],
		                     object_speed * object_speed / (cue_speed * cue_speed), 6e-5);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("ball on ball against published values");
	TCase *tests = tcase_create("tables");

	tcase_add_test(tests, hits_match_the_table);
	tcase_add_test(tests, throw_has_its_two_limits);
	tcase_add_test(tests, deflections_match_the_table);
	tcase_add_test(tests, quarter_balls_match_the_list);
	tcase_add_test(tests, natural_angle_is_where_theory_says);
	tcase_add_test(tests, full_hits_share_the_roll);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
