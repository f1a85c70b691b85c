/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"
#include "impact_draw.h"

/* What the cushion model must do whatever the numbers: check-values.md 2.2 (exact tests) and the
 * contract of cushion.h, on random impacts over the limits of physics.md 8. */

#define CASES 2000

/* What is exact in the equations is asked of a tight integration, to a little more than its
 * tolerance; states are of the order of 1. */
#define TIGHT 1e-11
#define EXACT 1e-10

/* The state after an impact; a refused one gives no numbers, which then miss everything wanted. */
static struct impact_draw solved(struct impact_draw drawn, double tolerance,
                                 struct cushion_outcome *outcome)
{
	if (cushion_solve(&drawn.contact, tolerance, &drawn.velocity, &drawn.spin_speed, outcome) !=
	    STATUS_OK)
		drawn.velocity = drawn.spin_speed = vector3_make(NAN, NAN, NAN);
	return drawn;
}

/* 2.2 (1): without friction vx and the spin stay, vy' = -e vy. */
START_TEST(frictionless_impacts_only_reverse)
{
	struct random_stream random = random_start(3319, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct impact_draw before = impact_draw(&random, i), after;
		struct cushion_outcome outcome = {.steps = 0};
		double c = sqrt(1.0 - before.contact.nose_sine * before.contact.nose_sine);
		double e = before.contact.restitution;

		before.contact.friction = before.contact.bed_friction = 0.0;
		after = solved(before, TIGHT, &outcome);
		misses +=
		    close_miss("2.2 (1)", i, "vx", before.velocity.x, after.velocity.x, 1e-14) +
		    close_miss("2.2 (1)", i, "vy", -e * before.velocity.y, after.velocity.y,
		               EXACT) +
		    close_miss("2.2 (1)", i, "spin", 0.0,
		               vector3_norm(vector3_subtract(after.spin_speed, before.spin_speed)),
		               1e-14) +
		    close_miss("2.2 (1)", i, "impulse", (1.0 + e) * before.velocity.y / c,
		               outcome.impulse, EXACT);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* 2.2 (2): a square shot with so much spin about the rail's direction that neither slip ends. All
 * rates are constant: vy' = -e vy, and the spin changes in proportion. With topspin and a nose that
 * is rougher than steep the bed reaction is clamped at zero. */
START_TEST(unchanged_slips_reverse_by_restitution)
{
	struct random_stream random = random_start(3319, 2);
	int misses = 0, lifted = 0;

	for (int i = 0; i < CASES; i++) {
		struct impact_draw before = impact_draw(&random, i), after;
		const struct cushion_contact *contact = &before.contact;
		struct cushion_outcome outcome = {.steps = 0};
		double way = i % 2 == 0 ? -1.0 : 1.0; /* of both slips */
		double s = contact->nose_sine, c = sqrt(1.0 - s * s), mu = contact->friction;
		double k = fmax(0.0, s + mu * c * way);
		double vy_rate = -(c - mu * s * way + contact->bed_friction * k * way);
		double rwx_rate = -2.5 * way * (mu + contact->bed_friction * k);
		double impulse = (1.0 + contact->restitution) * before.velocity.y / -vy_rate;

		before.velocity.x = before.spin_speed.y = before.spin_speed.z = 0.0;
		before.spin_speed.x = way * (1.3 * before.velocity.y + fabs(rwx_rate) * impulse);
		after = solved(before, TIGHT, &outcome);
		lifted += outcome.lifted_steps > 0;
		misses += close_miss("2.2 (2)", i, "vy", -contact->restitution * before.velocity.y,
		                     after.velocity.y, EXACT) +
		          close_miss("2.2 (2)", i, "R wx", before.spin_speed.x + rwx_rate * impulse,
		                     after.spin_speed.x, EXACT) +
		          close_miss("2.2 (2)", i, "impulse", impulse, outcome.impulse, EXACT) +
		          close_false("2.2 (2)", i, "lifted as K says",
		                      (outcome.lifted_steps > 0) == (s + mu * c * way < 0.0)) +
		          close_false("2.2 (2)", i, "nothing sticks", outcome.sticks == 0);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(lifted, CASES / 20);
}
END_TEST

/* 2.2 (3): at s = 2/5 friction along X at the nose leaves the bed's slip alone, so that a ball
 * arriving with vx = R wy leaves so. */
START_TEST(nose_at_two_fifths_keeps_rolling_along_the_rail)
{
	struct random_stream random = random_start(3319, 3);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct impact_draw before = impact_draw(&random, i), after;

		before.contact.nose_sine = 0.4;
		before.spin_speed.y = before.velocity.x;
		after = solved(before, TIGHT, NULL);
		misses += close_miss("2.2 (3)", i, "vx - R wy", 0.0,
		                     after.velocity.x - after.spin_speed.y, EXACT);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* 2.2 (4): mirror images in the plane square to the rail. */
START_TEST(mirror_images_stay_mirror_images)
{
	struct random_stream random = random_start(3319, 4);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct impact_draw one = impact_draw(&random, i), other = one;

		other.velocity.x = -one.velocity.x;
		other.spin_speed.y = -one.spin_speed.y;
		other.spin_speed.z = -one.spin_speed.z;
		one = solved(one, CUSHION_TOLERANCE, NULL);
		other = solved(other, CUSHION_TOLERANCE, NULL);
		misses +=
		    close_miss("2.2 (4)", i, "vx", -one.velocity.x, other.velocity.x, 1e-12) +
		    close_miss("2.2 (4)", i, "vy", one.velocity.y, other.velocity.y, 1e-12) +
		    close_miss("2.2 (4)", i, "R wx", one.spin_speed.x, other.spin_speed.x, 1e-12) +
		    close_miss("2.2 (4)", i, "R wy", -one.spin_speed.y, other.spin_speed.y, 1e-12) +
		    close_miss("2.2 (4)", i, "R wz", -one.spin_speed.z, other.spin_speed.z, 1e-12);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

static double energy(const struct impact_draw *drawn)
{
	return 0.5 * vector3_dot(drawn->velocity, drawn->velocity) +
	       0.2 * vector3_dot(drawn->spin_speed, drawn->spin_speed);
}

/* 2.2 (5): energy falls, and the ball leaves the rail. */
START_TEST(energy_falls)
{
	struct random_stream random = random_start(3319, 5);
	int misses = 0;

	for (int i = 0; i < 2 * CASES; i++) {
		struct impact_draw before = impact_draw(&random, i);
		struct impact_draw after = solved(before, CUSHION_TOLERANCE, NULL);

		misses +=
		    close_false("2.2 (5)", i, "energy falls", energy(&after) < energy(&before)) +
		    close_false("2.2 (5)", i, "ball leaves", after.velocity.y < 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* cushion.h: the state is unchanged when a number is no number or the ball does not approach. */
START_TEST(senseless_impacts_are_refused)
{
	struct random_stream random = random_start(3319, 6);
	const double bad[] = {NAN, HUGE_VAL, -HUGE_VAL};

	for (int i = 0; i < 24; i++) {
		struct impact_draw drawn = impact_draw(&random, i), kept;
		double *numbers[] = {&drawn.velocity.x,        &drawn.velocity.y,
		                     &drawn.spin_speed.x,      &drawn.spin_speed.y,
		                     &drawn.spin_speed.z,      &drawn.contact.friction,
		                     &drawn.contact.nose_sine, &drawn.contact.bed_friction};

		*numbers[i / 3] = bad[i % 3];
		kept = drawn;
		ck_assert_msg(cushion_solve(&drawn.contact, CUSHION_TOLERANCE, &drawn.velocity,
		                            &drawn.spin_speed, NULL) == STATUS_INTERNAL,
		              "case %d", i);
		ck_assert_mem_eq(&drawn, &kept, sizeof kept);
	}
	for (int i = 0; i < 2; i++) {
		struct impact_draw drawn = impact_draw(&random, i), kept;

		drawn.velocity.y = -0.3 * i;
		kept = drawn;
		ck_assert_int_eq(cushion_solve(&drawn.contact, CUSHION_TOLERANCE, &drawn.velocity,
		                               &drawn.spin_speed, NULL),
		                 STATUS_INTERNAL);
		ck_assert_mem_eq(&drawn, &kept, sizeof kept);
	}
}
END_TEST

/* cushion.h: restitution is clamped to [0, 1]; without any the ball stays at the rail. */
START_TEST(restitution_is_clamped)
{
	struct random_stream random = random_start(3319, 7);

	for (int i = 0; i < 500; i++) {
		struct impact_draw over = impact_draw(&random, i), one = over, under = over,
				   none = over;

		over.contact.restitution = 1.03;
		one.contact.restitution = 1.0;
		under.contact.restitution = -0.02;
		none.contact.restitution = 0.0;
		over = solved(over, CUSHION_TOLERANCE, NULL);
		one = solved(one, CUSHION_TOLERANCE, NULL);
		under = solved(under, CUSHION_TOLERANCE, NULL);
		none = solved(none, CUSHION_TOLERANCE, NULL);
		ck_assert_mem_eq(&over.velocity, &one.velocity, sizeof one.velocity);
		ck_assert_mem_eq(&over.spin_speed, &one.spin_speed, sizeof one.spin_speed);
		ck_assert_mem_eq(&under.velocity, &none.velocity, sizeof none.velocity);
		ck_assert_double_eq(none.velocity.y, 0.0);
	}
}
END_TEST

/* cushion.h: rough enough at nose and bed the ball is locked between them. Both slips are zero
 * then, and with them the speed into the rail, (yB - tN) / (1 + sine) by their definitions
 * (physics.md 2). A ball that is not locked leaves; energy falls either way. */
START_TEST(rough_contacts_lock_the_ball)
{
	struct random_stream random = random_start(3319, 10);
	int misses = 0, locked = 0;

	for (int i = 0; i < CASES; i++) {
		struct impact_draw before = impact_draw(&random, i), after;
		double s, c;

		before.contact.friction = impact_between(&random, 0.55, 1.0);
		before.contact.bed_friction = impact_between(&random, 0.55, 1.0);
		s = before.contact.nose_sine;
		c = sqrt(1.0 - s * s);
		after = solved(before, CUSHION_TOLERANCE, NULL);
		misses +=
		    close_false("locked", i, "energy falls", energy(&after) < energy(&before)) +
		    close_false("locked", i, "does not enter", after.velocity.y <= 0.0);
		if (after.velocity.y < 0.0)
			continue;
		locked++;
		misses += close_miss("locked", i, "R wx", 0.0, after.spin_speed.x, 1e-7) +
		          close_miss("locked", i, "slip at bed", after.velocity.x,
		                     after.spin_speed.y, 1e-7) +
		          close_miss("locked", i, "slip at nose",
		                     after.velocity.x + after.spin_speed.y * s,
		                     after.spin_speed.z * c, 1e-7);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(locked, CASES / 50);
	ck_assert_int_le(locked, CASES / 2);
}
END_TEST

/* 2.2: m, R and V0 drop out. */
START_TEST(results_scale_with_speed)
{
	struct random_stream random = random_start(3319, 8);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct impact_draw one = impact_draw(&random, i), fast = one;
		double factor = impact_between(&random, 0.006, 9.0);
		struct vector3 v, w;

		fast.velocity = vector3_scale(factor, one.velocity);
		fast.spin_speed = vector3_scale(factor, one.spin_speed);
		one = solved(one, TIGHT, NULL);
		fast = solved(fast, TIGHT, NULL);
		v = vector3_subtract(vector3_scale(1.0 / factor, fast.velocity), one.velocity);
		w = vector3_subtract(vector3_scale(1.0 / factor, fast.spin_speed), one.spin_speed);
		misses += close_miss("2.2 scale", i, "velocity", 0.0, vector3_norm(v), EXACT) +
		          close_miss("2.2 scale", i, "spin", 0.0, vector3_norm(w), EXACT);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* cushion.h, outcome: approach vy cos(theta). A square hit with side against a rough nose sticks
 * (check-values.md 2.5: from mu 0.20 on); a smooth or steep nose never lets the bed go, since
 * K >= 0 where tan(theta) > mu (check-values.md 2.2). */
START_TEST(outcomes_tell_what_happened)
{
	struct random_stream random = random_start(3319, 9);
	struct impact_draw rough = {
	    {0.27, 0.85, 0.26, 0.20, false}, {0.0, 1.0, 0.0}, {-1.0, 0.0, 1.0}};
	struct impact_draw slippery = {
	    {0.27, 0.85, 0.03, 0.20, false}, {0.0, 1.0, 0.0}, {-1.0, 0.0, 1.0}};
	struct cushion_outcome outcome = {.steps = 0};

	solved(rough, CUSHION_TOLERANCE, &outcome);
	ck_assert_uint_ge(outcome.sticks, 1);
	ck_assert_uint_ge(outcome.steps, 2);
	solved(slippery, CUSHION_TOLERANCE, &outcome);
	ck_assert_uint_eq(outcome.sticks, 0);
	for (int i = 0; i < CASES; i++) {
		struct impact_draw drawn = impact_draw(&random, i);
		double s = drawn.contact.nose_sine, c = sqrt(1.0 - s * s);

		solved(drawn, CUSHION_TOLERANCE, &outcome);
		ck_assert_double_eq_tol(outcome.approach, c * drawn.velocity.y, 1e-15);
		ck_assert(outcome.lifted_steps <= outcome.steps);
		if (s > c * drawn.contact.friction)
			ck_assert_uint_eq(outcome.lifted_steps, 0);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("laws of a ball at the cushion");
	TCase *tests = tcase_create("laws");

	tcase_add_test(tests, frictionless_impacts_only_reverse);
	tcase_add_test(tests, unchanged_slips_reverse_by_restitution);
	tcase_add_test(tests, nose_at_two_fifths_keeps_rolling_along_the_rail);
	tcase_add_test(tests, mirror_images_stay_mirror_images);
	tcase_add_test(tests, energy_falls);
	tcase_add_test(tests, rough_contacts_lock_the_ball);
	tcase_add_test(tests, senseless_impacts_are_refused);
	tcase_add_test(tests, restitution_is_clamped);
	tcase_add_test(tests, results_scale_with_speed);
	tcase_add_test(tests, outcomes_tell_what_happened);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
