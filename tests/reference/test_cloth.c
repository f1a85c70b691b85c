/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "physics/cloth.h"

/* A ball on the level bed against closed forms worked out beside the program and against laws that
 * hold whatever the motion. Equations: Coriolis, Theorie mathematique des effets du jeu de billard
 * (1835); Hopkins & Patterson, Am. J. Phys. 45, 263 (1977) (value from memory). */

#define RADIUS 0.028575

static const struct ball_body reference_ball = {RADIUS, 0.1634, 1.0};

static struct constants cloth_constants(double sliding, double rolling, double spin)
{
	struct constants constants = {.value = {0.0}};

	constants.value[SLIDING_FRICTION] = sliding;
	constants.value[ROLLING_RESISTANCE] = rolling;
	constants.value[SPIN_FRICTION] = spin;
	return constants;
}

/* A ball at (0.317, 0.643) whose velocity and radius * spin are given in axes that are turned from
 * those of the table by heading. */
static struct ball_state turned_ball(double heading, struct vector3 v, struct vector3 rw)
{
	double c = cos(heading), s = sin(heading);
	struct ball_state state = {.position = {0.317, 0.643, RADIUS}};

	state.velocity = vector3_make(c * v.x - s * v.y, s * v.x + c * v.y, 0.0);
	state.spin = vector3_scale(1.0 / RADIUS,
	                           vector3_make(c * rw.x - s * rw.y, s * rw.x + c * rw.y, rw.z));
	return state;
}

/* A vector of the table in the turned axes again. */
static struct vector3 turn_back(double heading, struct vector3 v)
{
	double c = cos(heading), s = sin(heading);

	return vector3_make(c * v.x + s * v.y, -s * v.x + c * v.y, v.z);
}

static struct vector3 travel(double heading, const struct ball_state *from,
                             const struct ball_state *to)
{
	return turn_back(heading, vector3_subtract(to->position, from->position));
}

/* Straight slide to roll: check-values.md 1.1, last digits 1e-5. */
static const struct straight_row {
	double v0, mu, topspin, time, distance, v_roll;
} straight_rows[] = {
    {1, 0.200, 0, 0.14567, 0.12486, 0.71429}, {2, 0.200, 0, 0.29135, 0.49945, 1.42857},
    {2, 0.212, 0, 0.27486, 0.47118, 1.42857}, {3, 0.180, 0, 0.48558, 1.24863, 2.14286},
    {3, 0.250, 0, 0.34962, 0.89902, 2.14286}, {2, 0.2, -1.25, 0.65553, 0.88965, 0.71429},
    {2, 0.2, -1, 0.58269, 0.83242, 0.85714},  {2, 0.2, -0.5, 0.43702, 0.68675, 1.14286},
    {2, 0.2, 0.5, 0.14567, 0.27054, 1.71429}, {2, 0.2, 1.25, 0.07284, 0.15088, 2.14286},
};

static int check_straight(int i, double heading)
{
	const struct straight_row *row = &straight_rows[i];
	struct constants constants = cloth_constants(row->mu, 0.0113, 0.0097);
	struct ball_state start = turned_ball(heading, vector3_make(row->v0, 0.0, 0.0),
	                                      vector3_make(0.0, row->topspin * row->v0, 0.0));
	double time;
	struct ball_state end = cloth_roll_out(&start, &reference_ball, &constants, &time);
	struct vector3 way = travel(heading, &start, &end);
	struct vector3 v = turn_back(heading, end.velocity);

	return close_miss("1.1", i, "time", row->time, time, 6e-6) +
	       close_miss("1.1", i, "distance", row->distance, way.x, 6e-6) +
	       close_miss("1.1", i, "sideways", 0.0, way.y, 1e-14) +
	       close_miss("1.1", i, "rolling speed", row->v_roll, v.x, 6e-6) +
	       close_miss("1.1", i, "kept by (5 + 2 s) / 7",
	                  row->v0 * (5.0 + 2.0 * row->topspin) / 7.0, v.x, 1e-14) +
	       close_miss("1.1", i, "height", RADIUS, end.position.z, 0.0);
}

START_TEST(straight_slides_match_the_table)
{
	int misses = 0;

	for (int i = 0; i < (int)(sizeof straight_rows / sizeof *straight_rows); i++)
		misses += check_straight(i, 0.0) + check_straight(i, 2.137);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Struck 4/5 R above the centre a ball ends with 9/7 of its first speed: exercise e_22_8_422 of the
 * physics exercises pool of Ben-Gurion University, quoted in check-values.md 1.1. */
START_TEST(struck_high_a_ball_gains_two_sevenths)
{
	struct constants constants = cloth_constants(0.1937, 0.0113, 0.0097);
	struct ball_state start = turned_ball(0.0, vector3_make(1.37, 0.0, 0.0),
	                                      vector3_make(0.0, 2.5 * 0.8 * 1.37, 0.0));
	struct ball_state end = cloth_roll_out(&start, &reference_ball, &constants, NULL);

	ck_assert_double_eq_tol(end.velocity.x, 9.0 / 7.0 * 1.37, 1e-14);
}
END_TEST

/* Curved slides: check-values.md 1.2. The angle has three digits. */
static const struct curved_row {
	double vx, vy, rwx, rwy, mu, time, x, y, vfx, vfy, angle;
} curved_rows[] = {
    {2, 0, -1, 0, 0.2, 0.32574, 0.55841, 0.04653, 1.42857, 0.28571, 11.310},
    {2, 0, -2, -2, 0.2, 0.65147, 0.93068, 0.18614, 0.85714, 0.57143, 33.690},
    {1, 0, -3, -1, 0.2, 0.52523, 0.37517, 0.22510, 0.42857, 0.85714, 63.435},
    {1.5, 0, 0, -3, 0.2, 0.65553, 0.56188, 0, 0.21429, 0, 0},
    {1, 0.5, 1, -2, 0.15, 0.65147, 0.37227, 0.18614, 0.14286, 0.07143, 26.565},
};

static int check_curved(int i, double heading)
{
	const struct curved_row *row = &curved_rows[i];
	struct constants constants = cloth_constants(row->mu, 0.0113, 0.0097);
	struct ball_state start = turned_ball(heading, vector3_make(row->vx, row->vy, 0.0),
	                                      vector3_make(row->rwx, row->rwy, 0.0));
	double time;
	struct ball_state end = cloth_roll_out(&start, &reference_ball, &constants, &time);
	struct vector3 way = travel(heading, &start, &end);
	struct vector3 v = turn_back(heading, end.velocity);

	return close_miss("1.2", i, "time", row->time, time, 6e-6) +
	       close_miss("1.2", i, "x", row->x, way.x, 6e-6) +
	       close_miss("1.2", i, "y", row->y, way.y, 6e-6) +
	       close_miss("1.2", i, "vx", row->vfx, v.x, 6e-6) +
	       close_miss("1.2", i, "vy", row->vfy, v.y, 6e-6) +
	       close_miss("1.2", i, "angle", row->angle, close_degrees(atan2(v.y, v.x)), 6e-4);
}

START_TEST(curved_slides_match_the_table)
{
	int misses = 0;

	for (int i = 0; i < (int)(sizeof curved_rows / sizeof *curved_rows); i++)
		misses += check_curved(i, 0.0) + check_curved(i, -1.183);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Plays a state to rest and adds up time and the way along the path's chord of each phase. */
static struct ball_state play_to_rest(struct ball_state state, const struct ball_body *body,
                                      const struct constants *constants, double *time, double *slid)
{
	struct cloth_motion motion = cloth_motion_start(&state, body, constants);
	int phases = 0;

	*time = *slid = 0.0;
	while (motion.phase != CLOTH_REST && phases++ < 4) {
		struct ball_state next =
		    cloth_advance(&state, &motion, body->radius, motion.duration);

		if (motion.phase == CLOTH_SLIDING)
			*slid += vector3_norm(vector3_subtract(next.position, state.position));
		*time += motion.duration;
		state = next;
		motion = cloth_motion_start(&state, body, constants);
	}
	ck_assert_int_eq(motion.phase, CLOTH_REST);
	return state;
}

/* A whole centre-ball shot: check-values.md 1.3 (four digits; share in percent, two digits). */
START_TEST(shots_to_rest_match_the_table)
{
	static const double rows[][6] = {{1, 0.200, 0.0100, 2.7262, 7.4294, 4.58},
	                                 {1, 0.200, 0.0125, 2.2059, 5.9726, 5.66},
	                                 {2, 0.212, 0.0128, 8.6003, 11.6556, 5.48},
	                                 {1, 0.150, 0.0060, 4.5020, 12.3337, 3.70}};
	int misses = 0;

	for (int i = 0; i < 4; i++) {
		struct constants constants = cloth_constants(rows[i][1], rows[i][2], 0.0097);
		struct ball_state start = turned_ball(0.77, vector3_make(rows[i][0], 0.0, 0.0),
		                                      vector3_make(0.0, 0.0, 0.0));
		double time, slid;
		struct ball_state end =
		    play_to_rest(start, &reference_ball, &constants, &time, &slid);
		struct vector3 way = travel(0.77, &start, &end);

		misses += close_miss("1.3", i, "D", rows[i][3], way.x, 6e-5) +
		          close_miss("1.3", i, "T", rows[i][4], time, 6e-5) +
		          close_miss("1.3", i, "share", rows[i][5], 100.0 * slid / way.x, 6e-3);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A ball that rolls D and just stops in t has a = 2 D / t^2: check-values.md 1.4, five digits, on
 * a table of nine feet (D = 2.540 m less a ball of 2 1/4 in). */
START_TEST(rolls_to_rest_match_the_table)
{
	static const double rows[][3] = {{4, 0.31036, 0.03165}, {5, 0.19863, 0.02025},
	                                 {6, 0.13794, 0.01407}, {7, 0.10134, 0.01033},
	                                 {8, 0.07759, 0.00791}, {9, 0.06130, 0.00625},
	                                 {10, 0.04966, 0.00506}};
	const double distance = 2.540 - 2.0 * RADIUS;
	int misses = 0;

	for (int i = 0; i < 7; i++) {
		double t = rows[i][0], speed = 2.0 * distance / t;
		double mu = 2.0 * distance / (t * t * STANDARD_GRAVITY);
		struct constants constants = cloth_constants(0.2113, mu, 0.0097);
		struct ball_state start = turned_ball(-2.41, vector3_make(speed, 0.0, 0.0),
		                                      vector3_make(0.0, speed, 0.0));
		struct cloth_motion motion =
		    cloth_motion_start(&start, &reference_ball, &constants);
		double time, slid;
		struct ball_state end =
		    play_to_rest(start, &reference_ball, &constants, &time, &slid);

		misses +=
		    close_miss("1.4", i, "a", rows[i][1], vector3_norm(motion.acceleration), 6e-6) +
		    close_miss("1.4", i, "mu", rows[i][2], mu, 6e-6) +
		    close_miss("1.4", i, "t", t, time, 1e-12) +
		    close_miss("1.4", i, "D", distance, travel(-2.41, &start, &end).x, 1e-12) +
		    close_miss("1.4", i, "slid", 0.0, slid, 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Fall of the side spin [rad/s^2] by the torque of a contact patch of radius a: check-values.md 1.7
 * (sliding friction 0.2, R = 28.575 mm), where 5/2 g mu k a / R^2 means spin_friction = mu k a / R
 * with k = 2/3 for even pressure and 3 pi / 16 after Hertz. Two digits. */
START_TEST(side_spin_falls_as_the_patch_says)
{
	static const double even[] = {4.00, 8.01, 12.01, 16.01},
			    hertz[] = {3.54, 7.07, 10.61, 14.15};
	struct ball_state spinning =
	    turned_ball(0.0, vector3_make(0.0, 0.0, 0.0), vector3_make(0.0, 0.0, 0.93));
	int misses = 0;

	for (int i = 0; i < 4; i++) {
		double patch = 0.2 * 1e-3 * (i + 1) / RADIUS;
		struct constants flat = cloth_constants(0.2, 0.01, 2.0 / 3.0 * patch);
		struct constants round = cloth_constants(0.2, 0.01, 3.0 * CLOSE_PI / 16.0 * patch);

		misses +=
		    close_miss("1.7 even", i, "alpha", even[i],
		               cloth_motion_start(&spinning, &reference_ball, &flat).side_decay,
		               6e-3) +
		    close_miss("1.7 Hertz", i, "alpha", hertz[i],
		               cloth_motion_start(&spinning, &reference_ball, &round).side_decay,
		               6e-3);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("cloth against published values");
	TCase *tests = tcase_create("tables");

	tcase_add_test(tests, straight_slides_match_the_table);
	tcase_add_test(tests, struck_high_a_ball_gains_two_sevenths);
	tcase_add_test(tests, curved_slides_match_the_table);
	tcase_add_test(tests, shots_to_rest_match_the_table);
	tcase_add_test(tests, rolls_to_rest_match_the_table);
	tcase_add_test(tests, side_spin_falls_as_the_patch_says);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
