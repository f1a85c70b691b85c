/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"
#include "cushion_rows.h"

#include "physics/cloth.h"
#include "physics/cushion.h"

/* The cushion model against numbers worked out before it was written: the rows of cushion_rows.h
 * and the tables of check-values.md 2.2, 2.4 and 2.5. Speed, radius and mass are 1. */

/* The table of the 2010 paper: e and mu from its abstract, bed friction a value from memory. */
static const struct cushion_contact paper = {0.40, 0.98, 0.14, 0.212, false};

/* A ball that met the cushion, in the rail's frame. */
struct rebound {
	struct vector3 velocity, spin_speed;
	struct cushion_outcome outcome;
	double speed, angle;           /* just after; angle from the rail [deg] */
	double roll_speed, roll_angle; /* after sliding on the cloth */
};

static double angle_from_rail(struct vector3 v)
{
	return close_degrees(atan2(-v.y, v.x));
}

/* Incidence is measured from the rail [deg]; topspin 1 is rolling, side in units of speed. */
static struct rebound rebound_within(double tolerance, const struct cushion_contact *contact,
                                     double incidence, double topspin, double side)
{
	static const struct ball_body unit_ball = {1.0, 1.0, 1.0};
	double c = incidence == 90.0 ? 0.0 : cos(close_radians(incidence));
	double s = sin(close_radians(incidence));
	struct rebound hit = {.velocity = {c, s, 0.0},
	                      .spin_speed = {-topspin * s, topspin * c, side}};
	struct constants cloth = {.value = {0.0}};
	struct ball_state state;

	ck_assert_int_eq(
	    cushion_solve(contact, tolerance, &hit.velocity, &hit.spin_speed, &hit.outcome),
	    STATUS_OK);
	hit.speed = vector3_norm_flat(hit.velocity);
	hit.angle = angle_from_rail(hit.velocity);
	cloth.value[SLIDING_FRICTION] = contact->bed_friction;
	cloth.value[ROLLING_RESISTANCE] = cloth.value[SPIN_FRICTION] = 0.01;
	state = (struct ball_state){{0.0, 0.0, 1.0}, hit.velocity, hit.spin_speed};
	state = cloth_roll_out(&state, &unit_ball, &cloth, NULL);
	hit.roll_speed = vector3_norm_flat(state.velocity);
	hit.roll_angle = angle_from_rail(state.velocity);
	return hit;
}

static struct rebound rebound_at(const struct cushion_contact *contact, double incidence,
                                 double topspin, double side)
{
	return rebound_within(CUSHION_TOLERANCE, contact, incidence, topspin, side);
}

static int check_row(int i)
{
	const struct cushion_row *row = &cushion_rows[i];
	struct cushion_contact contact = paper;
	struct rebound hit;

	contact.nose_sine = row->sine;
	hit = rebound_at(&contact, row->angle, row->topspin, row->side);
	return close_miss("rows", i, "vx", row->vx, hit.velocity.x, 2e-5) +
	       close_miss("rows", i, "vy", row->vy, hit.velocity.y, 2e-5) +
	       close_miss("rows", i, "vz", 0.0, hit.velocity.z, 0.0) +
	       close_miss("rows", i, "R wx", row->rwx, hit.spin_speed.x, 2e-5) +
	       close_miss("rows", i, "R wy", row->rwy, hit.spin_speed.y, 2e-5) +
	       close_miss("rows", i, "R wz", row->rwz, hit.spin_speed.z, 2e-5) +
	       close_miss("rows", i, "rolling speed", row->roll_speed, hit.roll_speed, 2e-5) +
	       /* Three digits, and 2e-5 of a speed of 0.55 or more is 2e-3 degrees. */
	       close_miss("rows", i, "rolling angle", row->roll_angle, hit.roll_angle, 2.5e-3);
}

START_TEST(impacts_match_the_rows)
{
	int misses = 0;

	for (int i = 0; i < CUSHION_ROWS; i++)
		misses += check_row(i);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Speed back from a square hit against topspin: check-values.md 2.4, five digits of 1e-5. */
START_TEST(square_hits_with_topspin_match_the_list)
{
	static const double list[][2] = {{-2.0, 0.94567}, {-1.0, 0.86586}, {-0.5, 0.85726},
	                                 {0.0, 0.83732},  {0.5, 0.84637},  {1.0, 0.91066},
	                                 {1.5, 0.98000},  {2.0, 0.98000}};
	int misses = 0;

	for (int i = 0; i < 8; i++) {
		struct rebound hit = rebound_at(&paper, 90.0, list[i][0], 0.0);

		misses += close_miss("2.4", i, "vy", -list[i][1], hit.velocity.y, 2e-5);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Running side turns into travel: alpha 45, rolling, side 2 leaves with 1.1156 (check-values.md
 * 2.4, four digits). */
START_TEST(running_side_turns_into_travel)
{
	struct rebound hit = rebound_at(&paper, 45.0, 1.0, 2.0);

	ck_assert_double_eq_tol(hit.speed, 1.1156, 6e-5);
}
END_TEST

/* Sensitivities, check-values.md 2.5: nose sine 0.27, rolling. Each case gives e, mu nose, mu bed;
 * then angle and speed just after and rolled out at 45 and 60 degrees without side, both speeds of
 * the square hit, and again angle and speed twice at 45 degrees and square with side 1. */
static const struct sensitivity {
	double contact[3];
	double plain45[4], plain60[4], square[2], side45[4], side90[4];
} sensitivities[] = {
    {{0.85, 0.20, 0.20},
     {50.17, .7740, 35.61, .6305},
     {65.85, .7846, 53.69, .5661},
     {.8084, .5151},
     {38.25, .9237, 26.72, .8105},
     {72.57, .8793, 65.69, .5882}},
    {{0.80, 0.20, 0.20},
     {48.09, .7525, 33.23, .6204},
     {64.71, .7509, 52.24, .5474},
     {.7651, .4875},
     {36.73, .9050, 25.47, .8019},
     {72.25, .8313, 65.02, .5515}},
    {{0.90, 0.20, 0.20},
     {52.14, .7962, 37.90, .6414},
     {66.91, .8189, 55.07, .5854},
     {.8519, .5428},
     {39.72, .9430, 27.94, .8195},
     {72.96, .9236, 66.26, .6183}},
    {{0.85, 0.14, 0.20},
     {47.07, .8147, 31.12, .6622},
     {63.87, .8148, 50.18, .5781},
     {.8457, .5396},
     {39.51, .9403, 27.80, .8184},
     {77.29, .8651, 70.66, .5291}},
    {{0.85, 0.26, 0.20},
     {52.04, .7382, 38.04, .6018},
     {65.04, .7620, 52.71, .5532},
     {.7816, .4980},
     {37.32, .9120, 25.95, .8051},
     {71.47, .8520, 64.10, .5722}},
    {{0.85, 0.20, 0.15},
     {50.06, .7775, 35.06, .6309},
     {66.11, .7906, 53.95, .5697},
     {.8176, .5209},
     {38.56, .9277, 26.98, .8123},
     {72.99, .8813, 66.11, .5832}},
    {{0.85, 0.20, 0.25},
     {50.26, .7701, 36.15, .6299},
     {65.57, .7781, 53.49, .5633},
     {.7977, .5085},
     {37.88, .9189, 26.42, .8084},
     {72.19, .8742, 65.23, .5892}},
};

/* Two digits of the angle and four of the speed, with 1e-5 for the numbers behind them. */
static int check_angles(const char *part, int i, const double wanted[4], const struct rebound *hit)
{
	return close_miss(part, i, "angle", wanted[0], hit->angle, 6e-3) +
	       close_miss(part, i, "speed", wanted[1], hit->speed, 6e-5) +
	       close_miss(part, i, "rolling angle", wanted[2], hit->roll_angle, 6e-3) +
	       close_miss(part, i, "rolling speed", wanted[3], hit->roll_speed, 6e-5);
}

START_TEST(sensitivities_match_the_table)
{
	int misses = 0;

	for (int i = 0; i < (int)(sizeof sensitivities / sizeof *sensitivities); i++) {
		const struct sensitivity *row = &sensitivities[i];
		struct cushion_contact contact = {0.27, row->contact[0], row->contact[1],
		                                  row->contact[2], false};
		struct rebound plain45 = rebound_at(&contact, 45.0, 1.0, 0.0);
		struct rebound plain60 = rebound_at(&contact, 60.0, 1.0, 0.0);
		struct rebound square = rebound_at(&contact, 90.0, 1.0, 0.0);
		struct rebound side45 = rebound_at(&contact, 45.0, 1.0, 1.0);
		struct rebound side90 = rebound_at(&contact, 90.0, 1.0, 1.0);

		misses += check_angles("2.5, 45", i, row->plain45, &plain45) +
		          check_angles("2.5, 60", i, row->plain60, &plain60) +
		          check_angles("2.5, 45 side", i, row->side45, &side45) +
		          check_angles("2.5, 90 side", i, row->side90, &side90) +
		          close_miss("2.5, 90", i, "speed", row->square[0], square.speed, 6e-5) +
		          close_miss("2.5, 90", i, "rolling speed", row->square[1],
		                     square.roll_speed, 6e-5);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Height of the nose: check-values.md 2.5, last paragraph (five and two digits). */
START_TEST(nose_heights_match_the_list)
{
	static const double square[][2] = {
	    {0.4, 0.91066}, {0.2778, 0.95486}, {0.27, 0.95793}, {0.2033, 0.98000}};
	static const double angles[] = {52.68, 51.79, 51.74, 51.27};
	int misses = 0;

	for (int i = 0; i < 4; i++) {
		struct cushion_contact contact = paper;
		struct rebound straight, oblique;

		contact.nose_sine = square[i][0];
		straight = rebound_at(&contact, 90.0, 1.0, 0.0);
		oblique = rebound_at(&contact, 45.0, 1.0, 0.0);
		misses +=
		    close_miss("2.5 height", i, "vy", -square[i][1], straight.velocity.y, 2e-5) +
		    close_miss("2.5 height", i, "angle", angles[i], oblique.angle, 6e-3);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A square rolling hit by hand, check-values.md 2.2 (6): to six digits as printed there, and to
 * rounding by its own two phases of constant rates. */
START_TEST(rolling_square_hit_matches_the_hand_solution)
{
	struct rebound hit = rebound_within(1e-11, &paper, 90.0, 1.0, 0.0);
	double s = 0.4, c = sqrt(1.0 - s * s), e = 0.98, mu = 0.14, bed = 0.212;
	/* Phase 1: the nose slips down, the bed's contact point lags behind the rail. */
	double k1 = s - mu * c, vy1 = -(c + mu * s - bed * k1), rwx1 = 2.5 * (mu + bed * k1);
	double reversal = (s + 1.0) / (rwx1 - s * vy1);
	double vy = 1.0 + vy1 * reversal, rwx = -1.0 + rwx1 * reversal;
	/* Phase 2: the nose slips up. Work left is 1/2 v^2 / |rate| against e^2 / 2 / |rate 1|. */
	double k2 = s + mu * c, vy2 = -(c - mu * s - bed * k2), rwx2 = -2.5 * (mu - bed * k2);
	double end = -sqrt(vy * vy + (e * e - vy * vy) * vy2 / vy1);
	double rest = (end - vy) / vy2;

	ck_assert_double_eq_tol(vy1, -0.914917, 1e-6);
	ck_assert_double_eq_tol(rwx1, 0.493995, 1e-6);
	ck_assert_double_eq_tol(reversal, 1.627980, 1e-6);
	ck_assert_double_eq_tol(vy2, -0.748513, 1e-6);
	ck_assert_double_eq_tol(hit.velocity.y, -0.910658, 1e-6);
	ck_assert_double_eq_tol(hit.spin_speed.x, -0.235173, 1e-6);
	ck_assert_double_eq_tol(hit.roll_speed, 0.583278, 1e-6);
	ck_assert_double_eq_tol(hit.velocity.y, end, 1e-9);
	ck_assert_double_eq_tol(hit.spin_speed.x, rwx + rwx2 * rest, 1e-9);
	ck_assert_double_eq_tol(hit.outcome.impulse, reversal + rest, 1e-9);
	ck_assert_double_eq_tol(hit.velocity.x, 0.0, 1e-15);
}
END_TEST

/* No slip changes its direction: check-values.md 2.2 (2), the example there. */
START_TEST(overspun_square_hit_matches_the_hand_solution)
{
	struct rebound hit = rebound_within(1e-11, &paper, 90.0, 1.5, 0.0);

	ck_assert_double_eq_tol(hit.velocity.y, -0.98, 1e-9);
	ck_assert_double_eq_tol(hit.spin_speed.x, -0.43093, 6e-6);
	ck_assert_double_eq_tol(hit.outcome.impulse, 2.164130, 1e-6);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("cushion against published values");
	TCase *tests = tcase_create("tables");

	tcase_add_test(tests, impacts_match_the_rows);
	tcase_add_test(tests, square_hits_with_topspin_match_the_list);
	tcase_add_test(tests, running_side_turns_into_travel);
	tcase_add_test(tests, sensitivities_match_the_table);
	tcase_add_test(tests, nose_heights_match_the_list);
	tcase_add_test(tests, rolling_square_hit_matches_the_hand_solution);
	tcase_add_test(tests, overspun_square_hit_matches_the_hand_solution);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
