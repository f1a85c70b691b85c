/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"
#include "differences.h"
#include "impact_draw.h"

#include "physics/cushion_free.h"

/* The derivatives of a cushion impact: against differences of cushion_solve itself, and against
 * laws that hold whatever the numbers; and a ball that leaves the bed during an impact. */

/* Incoming velocities and spins, then constants, in the order of cushion.h. */
static void vary(struct impact_draw *drawn, const double change[CUSHION_IN], double factor)
{
	drawn->velocity.x += factor * change[CUSHION_ALONG];
	drawn->velocity.y += factor * change[CUSHION_INTO];
	drawn->spin_speed.x += factor * change[CUSHION_SPIN_X];
	drawn->spin_speed.y += factor * change[CUSHION_SPIN_Y];
	drawn->spin_speed.z += factor * change[CUSHION_SPIN_Z];
	drawn->contact.restitution += factor * change[CUSHION_RESTITUTION_IN];
	drawn->contact.friction += factor * change[CUSHION_FRICTION_IN];
	drawn->contact.bed_friction += factor * change[CUSHION_BED_FRICTION_IN];
}

static void unpack(const struct impact_draw *drawn, double out[CUSHION_OUT])
{
	out[CUSHION_ALONG] = drawn->velocity.x;
	out[CUSHION_INTO] = drawn->velocity.y;
	out[CUSHION_SPIN_X] = drawn->spin_speed.x;
	out[CUSHION_SPIN_Y] = drawn->spin_speed.y;
	out[CUSHION_SPIN_Z] = drawn->spin_speed.z;
}

/* A refused impact gives no numbers. */
static void solve(struct impact_draw drawn, double out[CUSHION_OUT])
{
	if (cushion_solve(&drawn.contact, 1e-12, &drawn.velocity, &drawn.spin_speed, NULL) !=
	    STATUS_OK)
		drawn.velocity = drawn.spin_speed = vector3_make(NAN, NAN, NAN);
	unpack(&drawn, out);
}

static void solve_slopes_within(double tolerance, struct impact_draw drawn, double out[CUSHION_OUT],
                                struct cushion_slopes *slopes)
{
	ck_assert_int_eq(cushion_solve_slopes(&drawn.contact, tolerance, &drawn.velocity,
	                                      &drawn.spin_speed, NULL, slopes),
	                 STATUS_OK);
	unpack(&drawn, out);
}

static void solve_slopes(struct impact_draw drawn, double out[CUSHION_OUT],
                         struct cushion_slopes *slopes)
{
	solve_slopes_within(CUSHION_TOLERANCE, drawn, out, slopes);
}

static double largest(const struct cushion_slopes *slopes)
{
	double most = 0.0;

	for (int i = 0; i < CUSHION_OUT; i++)
		for (int j = 0; j < CUSHION_IN; j++)
			most = fmax(most, fabs(slopes->by[i][j]));
	return most;
}

/* The derivative in a direction, by central differences at three steps and Richardson's
 * extrapolation; returns how far the two last extrapolations differ at most. */
static double difference(const struct impact_draw *start, const double way[CUSHION_IN],
                         double slope[CUSHION_OUT])
{
	const double steps[3] = {4e-4, 2e-4, 1e-4};
	double quotient[3][CUSHION_OUT], doubt = 0.0;

	for (int i = 0; i < 3; i++) {
		struct impact_draw above = *start, below = *start;
		double high[CUSHION_OUT], low[CUSHION_OUT];

		vary(&above, way, steps[i]);
		vary(&below, way, -steps[i]);
		solve(above, high);
		solve(below, low);
		for (int k = 0; k < CUSHION_OUT; k++)
			quotient[i][k] = (high[k] - low[k]) / (2.0 * steps[i]);
	}
	for (int k = 0; k < CUSHION_OUT; k++) {
		double coarse = (4.0 * quotient[1][k] - quotient[0][k]) / 3.0;
		double fine = (4.0 * quotient[2][k] - quotient[1][k]) / 3.0;

		slope[k] = (16.0 * fine - coarse) / 15.0;
		doubt = fmax(doubt, isfinite(fine) ? fabs(fine - coarse) : HUGE_VAL);
	}
	return doubt;
}

/* Random impacts over the limits of physics.md 8 and the nose heights of tables, among them all
 * sorts of rolling, stunned and sliding balls with side. */
static struct impact_draw draw(struct random_stream *random, int which)
{
	static const double sines[] = {0.27, 0.20, 0.2778, 0.2033, 0.40};
	struct impact_draw drawn = impact_draw(random, which);

	if (which % 3 != 0)
		drawn.contact.nose_sine = sines[which % 5];
	if (which % 8 == 2) { /* stunned */
		drawn.spin_speed.x = drawn.spin_speed.y = 0.0;
		if (which % 16 == 2)
			drawn.spin_speed.z = 0.0;
	}
	drawn.contact.restitution = 0.499 + 0.998 * (drawn.contact.restitution - 0.5);
	return drawn;
}

static bool rolls(const struct impact_draw *drawn)
{
	return drawn->velocity.x == drawn->spin_speed.y &&
	       drawn->velocity.y == -drawn->spin_speed.x;
}

/* Direction number `which` to vary in; a rolling ball is kept rolling, as cushion.h says. False:
 * none. */
static bool direction(const struct impact_draw *drawn, int which, double way[CUSHION_IN])
{
	for (int j = 0; j < CUSHION_IN; j++)
		way[j] = j == which ? 1.0 : 0.0;
	if (!rolls(drawn))
		return true;
	way[CUSHION_SPIN_Y] = way[CUSHION_ALONG];
	way[CUSHION_SPIN_X] = -way[CUSHION_INTO];
	return which != CUSHION_SPIN_X && which != CUSHION_SPIN_Y;
}

static double along(const double row[CUSHION_IN], const double way[CUSHION_IN])
{
	double sum = 0.0;

	for (int j = 0; j < CUSHION_IN; j++)
		sum += row[j] * way[j];
	return sum;
}

/* Where the differences do not settle the impact is not smooth within their steps: the order of
 * its events changes. Those are left out, and must be few. */
START_TEST(slopes_match_differences)
{
	struct random_stream random = random_start(5303, 1);
	int misses = 0, compared = 0, left_out = 0;

	for (int i = 0; i < 1500; i++) {
		struct impact_draw drawn = draw(&random, i);
		struct cushion_slopes slopes;
		double out[CUSHION_OUT], wanted[CUSHION_OUT], way[CUSHION_IN], scale;

		solve_slopes(drawn, out, &slopes);
		scale = largest(&slopes);
		for (int j = 0; j < CUSHION_IN; j++) {
			if (!direction(&drawn, j, way))
				continue;
			if (difference(&drawn, way, wanted) > 3e-7 * scale) {
				left_out++;
				continue;
			}
			compared++;
			for (int k = 0; k < CUSHION_OUT; k++)
				misses += close_miss("slope", i, "by difference", wanted[k],
				                     along(slopes.by[k], way), 1e-6 * scale);
		}
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_lt(100 * left_out, 2 * compared);
}
END_TEST

/* Impacts in which a slip turns about or ends at 1e-14 to 1e-5 of the speed, found among random
 * ones: nose height, restitution, frictions, velocity along and into the rail, radius times spin;
 * last the step of the differences, within which the slip must pass on the same side. */
static const double passing[][10] = {
    /* the nose's slip turns about below 1e-13, over a ball that rolls */
    {0.27034, 0.893001, 0.139856, 0.198042, 1.087296, 1.115840, -1.115840, 1.087296, 1.4344, 2e-3},
    /* turns about and sticks */
    {0.27034, 0.961259, 0.228102, 0.169744, -0.0377334, 0.524654, -0.524654, -0.0377334, 0.0, 2e-3},
    /* sticks while the nose lifts the ball */
    {0.27034, 0.842804, 0.385464, 0.195946, -2.943405, 3.425960, -2.051490, 0.670440, -4.120161,
     2e-3},
    /* the bed's slip turns by half a turn within one step */
    {0.27034, 0.929574, 0.115357, 0.199859, 0.0940612, 2.285055, -2.273078, 0.0942917, 0.920954,
     1e-4},
    /* grows again from 1e-9, slowly */
    {0.3184779609751226, 0.72661169971062711, 0.29477107477983794, 0.42376651053584091,
     -0.62279778382251461, 0.7823828477579019, -1.1152808296571792, -0.88779352850173909,
     -0.73096560761922103, 2e-3},
    {0.27784727838756734, 0.57352363284137797, 0.27036849711393479, 0.39798738702293679,
     0.99444404002687015, 0.10526657235341449, -0.10526657235341449, 0.99444404002687015,
     1.3615263520960164, 2e-3},
    /* the bed's slip turns about while compression ends, and the nose gives way */
    {0.39998859103259576, 0.74234200423309016, 0.42140246323120412, 0.57248233329586939, 0.0, 1.0,
     0.6675487677596279, 0.0, -0.34045065642667538, 2e-3}};

struct course {
	struct impact_draw start;
	double way[CUSHION_IN];
};

static void solve_shifted(const void *context, int changed, double shift, double *values)
{
	const struct course *course = context;
	struct impact_draw drawn = course->start;

	(void)changed;
	vary(&drawn, course->way, shift);
	solve(drawn, values);
}

/* A change of a slip that passes zero leaves behind what its last turn does. */
START_TEST(slopes_survive_a_slip_that_passes_zero)
{
	int misses = 0;

	for (int i = 0; i < (int)(sizeof passing / sizeof passing[0]); i++) {
		const double *row = passing[i];
		struct course course = {.start = {{row[0], row[1], row[2], row[3], false},
		                                  {row[4], row[5], 0.0},
		                                  {row[6], row[7], row[8]}}};
		double out[CUSHION_OUT], wanted[CUSHION_OUT], scale;
		struct cushion_slopes slopes;

		solve_slopes_within(1e-12, course.start, out, &slopes);
		scale = largest(&slopes);
		for (int j = 0; j < CUSHION_IN; j++) {
			if (!direction(&course.start, j, course.way))
				continue;
			differences(solve_shifted, &course, j, row[9], CUSHION_OUT, wanted);
			for (int k = 0; k < CUSHION_OUT; k++)
				misses += close_miss("passing", i, "by difference", wanted[k],
				                     along(slopes.by[k], course.way), 5e-7 * scale);
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The outcome scales with the speed (check-values.md 2.2), so that the derivatives by the five
 * speeds, times these, give the outcome: Euler's theorem. Equal travel along the rail and spin that
 * leave both slips alone pass through unchanged (physics.md 2: rates depend on the slips only). */
START_TEST(slopes_obey_the_laws_of_scale_and_of_travel)
{
	struct random_stream random = random_start(5303, 2);
	int misses = 0;

	for (int i = 0; i < 2000; i++) {
		struct impact_draw drawn = draw(&random, i);
		double s = drawn.contact.nose_sine, out[CUSHION_OUT], in[CUSHION_IN] = {0.0};
		double travel[CUSHION_IN] = {[CUSHION_ALONG] = 1.0,
		                             [CUSHION_SPIN_Y] = 1.0,
		                             [CUSHION_SPIN_Z] = sqrt((1.0 + s) / (1.0 - s))};
		struct cushion_slopes slopes;
		double scale;

		unpack(&drawn, in);
		solve_slopes(drawn, out, &slopes);
		scale = largest(&slopes);
		for (int k = 0; k < CUSHION_OUT; k++)
			misses +=
			    close_miss("scale", i, "outcome", out[k], along(slopes.by[k], in),
			               1e-6 * scale) +
			    close_miss("travel", i, "stays",
			               k == CUSHION_INTO || k == CUSHION_SPIN_X ? 0.0 : travel[k],
			               along(slopes.by[k], travel), 1e-12 * scale);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* cushion.h: the outcome of the one is that of the other. */
START_TEST(outcomes_agree_with_the_plain_solution)
{
	struct random_stream random = random_start(5303, 3);
	int misses = 0;

	for (int i = 0; i < 2000; i++) {
		struct impact_draw drawn = draw(&random, i);
		struct cushion_slopes slopes;
		double out[CUSHION_OUT], wanted[CUSHION_OUT];

		solve_slopes(drawn, out, &slopes);
		solve(drawn, wanted);
		for (int k = 0; k < CUSHION_OUT; k++)
			misses += close_miss("plain", i, "outcome", wanted[k], out[k], 3e-8);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Derivatives that are asked for coarsely are those of the fine ones to a few thousandths of the
 * largest, and mostly far better; the outcome is as exact as was asked for (cushion.h). */
#define COARSE_CASES 1000

START_TEST(coarse_slopes_are_near_the_fine_ones)
{
	struct random_stream random = random_start(60937, 1);
	double sum = 0.0;

	for (int i = 0; i < COARSE_CASES; i++) {
		struct impact_draw drawn = draw(&random, i);
		struct cushion_slopes fine, coarse;
		double exact[CUSHION_OUT], out[CUSHION_OUT], off = 0.0;

		solve_slopes(drawn, exact, &fine);
		solve_slopes_within(1e-5, drawn, out, &coarse);
		for (int k = 0; k < CUSHION_OUT; k++) {
			ck_assert_double_eq_tol(out[k], exact[k], 3e-5 * drawn.velocity.y + 1e-5);
			for (int in = 0; in < CUSHION_IN; in++)
				off = fmax(off, fabs(coarse.by[k][in] - fine.by[k][in]));
		}
		off /= largest(&fine);
		sum += off * off / COARSE_CASES;
	}
	fprintf(stderr, "coarse derivatives: root mean square %.1e of the largest\n", sqrt(sum));
	ck_assert_double_lt(sqrt(sum), 2e-3);
}
END_TEST

/* check-values.md 2.2 (1): without friction all stays but vy' = -e vy. */
START_TEST(frictionless_slopes_are_trivial)
{
	struct impact_draw drawn = {.contact = {.nose_sine = 0.2731, .restitution = 0.8713},
	                            .velocity = {0.313, 0.719, 0.0},
	                            .spin_speed = {-0.417, 0.233, 0.611}};
	struct cushion_slopes slopes;
	double out[CUSHION_OUT];

	solve_slopes(drawn, out, &slopes);
	for (int k = 0; k < CUSHION_OUT; k++)
		for (int j = 0; j < CUSHION_OUT; j++)
			ck_assert_double_eq_tol(slopes.by[k][j],
			                        j != k ? 0.0 : (k == CUSHION_INTO ? -0.8713 : 1.0),
			                        1e-9);
	ck_assert_double_eq_tol(slopes.by[CUSHION_INTO][CUSHION_RESTITUTION_IN], -0.719, 1e-9);
}
END_TEST

/* cushion.h: at the ends of its range the slope by restitution is that from inside. */
START_TEST(restitution_has_slopes_at_its_ends)
{
	struct random_stream random = random_start(5303, 4);
	int misses = 0;

	for (int i = 0; i < 300; i++) {
		const double inward[CUSHION_IN] = {[CUSHION_RESTITUTION_IN] = 1.0};
		struct impact_draw drawn = draw(&random, i), moved;
		double at_end[CUSHION_OUT], inside[CUSHION_OUT];
		struct cushion_slopes slopes;

		drawn.contact.restitution = i % 2;
		moved = drawn;
		vary(&moved, inward, i % 2 == 0 ? 1e-6 : -1e-6);
		solve_slopes(drawn, at_end, &slopes);
		solve(drawn, at_end);
		solve(moved, inside);
		for (int k = 0; k < CUSHION_OUT; k++)
			misses += close_miss("end", i, "by restitution",
			                     (inside[k] - at_end[k]) / (i % 2 == 0 ? 1e-6 : -1e-6),
			                     slopes.by[k][CUSHION_RESTITUTION_IN], 2e-3);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A ball hops where the reaction would be clamped, and one that the nose lifts from the first
 * instant on meets it freely; the derivatives of a hop are not numbers (cushion.h). */
START_TEST(lifted_balls_hop)
{
	struct random_stream random = random_start(5303, 5);
	int misses = 0, hops = 0;

	for (int i = 0; i < 4000; i++) {
		struct impact_draw drawn = draw(&random, i), free = drawn, stays = drawn;
		struct cushion_outcome outcome = {.steps = 0}, clamped = {.steps = 0};
		struct cushion_slopes slopes;

		drawn.contact.may_lift = true;
		ck_assert_int_eq(cushion_solve_slopes(&drawn.contact, 1e-11, &drawn.velocity,
		                                      &drawn.spin_speed, &outcome, &slopes),
		                 STATUS_OK);
		cushion_solve(&stays.contact, 1e-11, &stays.velocity, &stays.spin_speed, &clamped);
		misses += close_false("hop", i, "as the reaction says",
		                      outcome.hops == (clamped.lifted_steps > 0)) +
		          close_false("hop", i, "slopes", isnan(slopes.by[0][0]) == outcome.hops) +
		          close_false("hop", i, "not into the bed", drawn.velocity.z >= 0.0);
		hops += outcome.hops;
		if (!cushion_lifts(&free.contact, free.velocity, free.spin_speed))
			continue;
		cushion_free_solve(&free.contact, &free.velocity, &free.spin_speed, NULL);
		free.velocity.z = fmax(0.0, free.velocity.z);
		misses +=
		    close_miss("hop", i, "free velocity", 0.0,
		               vector3_norm(vector3_subtract(drawn.velocity, free.velocity)),
		               1e-9) +
		    close_miss("hop", i, "free spin", 0.0,
		               vector3_norm(vector3_subtract(drawn.spin_speed, free.spin_speed)),
		               1e-9);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(hops, 200);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("derivatives of the cushion impact");
	TCase *tests = tcase_create("slopes");

	tcase_add_test(tests, slopes_match_differences);
	tcase_add_test(tests, slopes_survive_a_slip_that_passes_zero);
	tcase_add_test(tests, slopes_obey_the_laws_of_scale_and_of_travel);
	tcase_add_test(tests, outcomes_agree_with_the_plain_solution);
	tcase_add_test(tests, coarse_slopes_are_near_the_fine_ones);
	tcase_add_test(tests, frictionless_slopes_are_trivial);
	tcase_add_test(tests, restitution_has_slopes_at_its_ends);
	tcase_add_test(tests, lifted_balls_hop);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
