/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/cloth.h"

/* Laws that the motion of a ball on the level bed obeys from any state (physics.md 1), on random
 * states, balls and constants within the limits of physics.md 8. */

#define CASES 3000

struct cloth_case {
	struct ball_body body;
	struct constants constants;
	struct ball_state start;
};

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct cloth_case random_case(struct random_stream *random)
{
	struct cloth_case drawn = {.constants = {{0.0}}};
	double *value = drawn.constants.value;
	double r = between(random, 0.023, 0.033);

	drawn.body = (struct ball_body){r, between(random, 0.09, 0.22), between(random, 0.5, 1.6)};
	value[SLIDING_FRICTION] = between(random, 0.03, 0.6);
	value[ROLLING_RESISTANCE] = between(random, 0.002, 0.05);
	value[SPIN_FRICTION] = between(random, 0.001, 0.06);
	drawn.start.position =
	    vector3_make(between(random, 0.0, 1.27), between(random, 0.0, 2.54), r);
	drawn.start.velocity =
	    vector3_make(between(random, -4.0, 4.0), between(random, -4.0, 4.0), 0.0);
	drawn.start.spin =
	    vector3_make(between(random, -200.0, 200.0), between(random, -200.0, 200.0),
	                 between(random, -150.0, 150.0));
	return drawn;
}

static struct cloth_motion start_motion(const struct cloth_case *drawn,
                                        const struct ball_state *state)
{
	return cloth_motion_start(state, &drawn->body, &drawn->constants);
}

/* Five times the angular momentum about a line on the bed, over mass and radius: 5 v + 2 R (w x z).
 * Bed friction has no lever about such a line. */
static struct vector3 momentum_about_bed(const struct ball_state *state, double radius)
{
	return vector3_make(5.0 * state->velocity.x + 2.0 * radius * state->spin.y,
	                    5.0 * state->velocity.y - 2.0 * radius * state->spin.x, 0.0);
}

START_TEST(sliding_keeps_angular_momentum_about_a_bed_line)
{
	struct random_stream random = random_start(7103, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct cloth_case drawn = random_case(&random);
		double radius = drawn.body.radius;
		struct cloth_motion motion = start_motion(&drawn, &drawn.start);
		struct ball_state later = cloth_advance(&drawn.start, &motion, radius,
		                                        random_uniform(&random) * motion.duration);
		struct ball_state end =
		    cloth_advance(&drawn.start, &motion, radius, motion.duration);
		struct vector3 before = momentum_about_bed(&drawn.start, radius);
		struct vector3 during = momentum_about_bed(&later, radius);
		struct vector3 after = momentum_about_bed(&end, radius);

		misses += close_false("slide", i, "slides", motion.phase == CLOTH_SLIDING) +
		          close_miss("slide", i, "x during", before.x, during.x, 1e-12) +
		          close_miss("slide", i, "y during", before.y, during.y, 1e-12) +
		          close_miss("slide", i, "x after", before.x, after.x, 1e-12) +
		          close_miss("slide", i, "y after", before.y, after.y, 1e-12);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* cloth.h: at the end of a phase the state obeys the next one exactly. */
START_TEST(phases_end_exactly)
{
	struct random_stream random = random_start(7103, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct cloth_case drawn = random_case(&random);
		double radius = drawn.body.radius;
		struct cloth_motion slide = start_motion(&drawn, &drawn.start), roll, rest;
		struct ball_state rolling =
		    cloth_advance(&drawn.start, &slide, radius, slide.duration);
		struct ball_state still;
		struct vector3 v = rolling.velocity;

		roll = start_motion(&drawn, &rolling);
		still = cloth_advance(&rolling, &roll, radius, roll.duration);
		rest = start_motion(&drawn, &still);
		misses +=
		    close_false("ends", i, "rolls next", roll.phase == CLOTH_ROLLING) +
		    close_miss("ends", i, "slip", 0.0, vector3_norm(ball_slip(&rolling, radius)),
		               4e-16 * vector3_norm(v)) +
		    close_false("ends", i, "rests next", rest.phase == CLOTH_REST) +
		    close_false("ends", i, "rests for ever", isinf(rest.duration)) +
		    close_miss("ends", i, "speed", 0.0, vector3_norm(still.velocity), 0.0) +
		    close_miss("ends", i, "spin", 0.0, vector3_norm_flat(still.spin), 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A draw of s = -5/2 ends its slide standing: v0 (5 + 2 s) / 7 = 0 (check-values.md 1.1). */
START_TEST(full_draw_ends_standing)
{
	struct random_stream random = random_start(7103, 3);

	for (int i = 0; i < CASES; i++) {
		struct cloth_case drawn = random_case(&random);
		double r = drawn.body.radius;
		struct vector3 v = drawn.start.velocity;
		struct cloth_motion motion;

		drawn.start.spin = vector3_make(2.5 * v.y / r, -2.5 * v.x / r, 11.7);
		drawn.start = cloth_roll_out(&drawn.start, &drawn.body, &drawn.constants, NULL);
		ck_assert_double_le(vector3_norm(drawn.start.velocity), 1e-14);
		motion = start_motion(&drawn, &drawn.start);
		ck_assert_int_eq(motion.phase, CLOTH_REST);
	}
}
END_TEST

/* Moving for t and then for u is moving for t + u, inside a phase. */
START_TEST(motion_may_be_cut_anywhere)
{
	struct random_stream random = random_start(7103, 4);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct cloth_case drawn = random_case(&random);
		double r = drawn.body.radius, first, whole;
		struct ball_state start = drawn.start, middle, two, one;
		struct cloth_motion motion, again;

		if (i % 2 == 1)
			start = cloth_roll_out(&start, &drawn.body, &drawn.constants, NULL);
		motion = start_motion(&drawn, &start);
		first = between(&random, 0.05, 0.45) * motion.duration;
		whole = first + between(&random, 0.05, 0.45) * motion.duration;
		middle = cloth_advance(&start, &motion, r, first);
		again = start_motion(&drawn, &middle);
		two = cloth_advance(&middle, &again, r, whole - first);
		one = cloth_advance(&start, &motion, r, whole);
		misses += close_miss("cut", i, "duration", motion.duration - first, again.duration,
		                     1e-11) +
		          close_miss("cut", i, "x", one.position.x, two.position.x, 1e-11) +
		          close_miss("cut", i, "y", one.position.y, two.position.y, 1e-11) +
		          close_miss("cut", i, "vx", one.velocity.x, two.velocity.x, 1e-11) +
		          close_miss("cut", i, "vy", one.velocity.y, two.velocity.y, 1e-11) +
		          close_miss("cut", i, "wx", one.spin.x, two.spin.x, 1e-9) +
		          close_miss("cut", i, "wy", one.spin.y, two.spin.y, 1e-9) +
		          close_miss("cut", i, "wz", one.spin.z, two.spin.z, 1e-9);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Side spin falls at 5/2 mu g / R to zero and stays there, whatever the ball does meanwhile: it
 * slides, rolls or spins on the spot. */
START_TEST(side_spin_falls_alone)
{
	struct random_stream random = random_start(7103, 5);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct cloth_case drawn = random_case(&random);
		double r = drawn.body.radius, wz = drawn.start.spin.z;
		double fall = 2.5 * drawn.constants.value[SPIN_FRICTION] * drawn.body.grip *
		              STANDARD_GRAVITY / r;
		struct ball_state state = drawn.start, later;
		struct cloth_motion motion;
		double time;

		if (i % 3 == 1)
			state = cloth_roll_out(&state, &drawn.body, &drawn.constants, NULL);
		if (i % 3 == 2)
			state =
			    (struct ball_state){state.position, {0.0, 0.0, 0.0}, {0.0, 0.0, wz}};
		motion = start_motion(&drawn, &state);
		wz = state.spin.z;
		time = random_uniform(&random) * fmin(motion.duration, 2.0 * fabs(wz) / fall);
		later = cloth_advance(&state, &motion, r, time);
		misses +=
		    close_false("side", i, "phase", (int)motion.phase == 2 - i % 3) +
		    close_miss("side", i, "time", fabs(wz) / fall, cloth_side_time(&state, &motion),
		               1e-11) +
		    close_miss("side", i, "wz", copysign(fmax(0.0, fabs(wz) - fall * time), wz),
		               later.spin.z, 1e-10);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Newton and Coulomb in small steps, without a closed form: force against the slip, torque of that
 * force at the bed; rw is radius * spin. */
static void creep(double mu, double dt, double v[2], double rw[2])
{
	double ux = v[0] - rw[1], uy = v[1] + rw[0], u = sqrt(ux * ux + uy * uy);
	double ax = -mu * STANDARD_GRAVITY * ux / u, ay = -mu * STANDARD_GRAVITY * uy / u;

	v[0] += ax * dt;
	v[1] += ay * dt;
	rw[0] += 2.5 * ay * dt;
	rw[1] -= 2.5 * ax * dt;
}

START_TEST(sliding_agrees_with_small_steps)
{
	struct random_stream random = random_start(7103, 6);
	int misses = 0;

	for (int i = 0; i < 40; i++) {
		struct cloth_case drawn = random_case(&random);
		const struct ball_state *start = &drawn.start;
		double r = drawn.body.radius, x = start->position.x, y = start->position.y;
		double mu = drawn.constants.value[SLIDING_FRICTION] * drawn.body.grip;
		struct cloth_motion motion = start_motion(&drawn, start);
		double time = between(&random, 0.3, 0.95) * motion.duration, dt = time / 20000;
		struct ball_state end = cloth_advance(start, &motion, r, time);
		double v[2] = {start->velocity.x, start->velocity.y};
		double rw[2] = {r * start->spin.x, r * start->spin.y};

		for (int step = 0; step < 20000; step++) {
			double old[2] = {v[0], v[1]};

			creep(mu, dt, v, rw);
			x += 0.5 * dt * (old[0] + v[0]);
			y += 0.5 * dt * (old[1] + v[1]);
		}
		misses += close_miss("steps", i, "x", x, end.position.x, 1e-9) +
		          close_miss("steps", i, "y", y, end.position.y, 1e-9) +
		          close_miss("steps", i, "vx", v[0], end.velocity.x, 1e-9) +
		          close_miss("steps", i, "vy", v[1], end.velocity.y, 1e-9) +
		          close_miss("steps", i, "R wx", rw[0], r * end.spin.x, 1e-9) +
		          close_miss("steps", i, "R wy", rw[1], r * end.spin.y, 1e-9);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Friction only takes energy, and a rolling ball has 7/10 m v^2. */
START_TEST(energy_only_falls)
{
	struct random_stream random = random_start(7103, 7);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct cloth_case drawn = random_case(&random);
		struct ball_state state = drawn.start;
		struct cloth_motion motion = start_motion(&drawn, &state);
		double energy = ball_energy(&state, &drawn.body), first = energy;

		for (int part = 1; part <= 10; part++) {
			struct ball_state next =
			    cloth_advance(&drawn.start, &motion, drawn.body.radius,
			                  motion.duration * part / 10.0);
			double left = ball_energy(&next, &drawn.body);

			misses += close_false("energy", i, "falls", left <= energy + 1e-14 * first);
			energy = left;
			state = next;
		}
		state.spin.z = 0.0;
		misses +=
		    close_miss("energy", i, "rolling",
		               0.7 * drawn.body.mass * vector3_dot(state.velocity, state.velocity),
		               ball_energy(&state, &drawn.body), 1e-14 * first);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Only the product of friction and grip matters, and rolling resistance knows no grip. */
START_TEST(grip_multiplies_sliding_and_spin_friction)
{
	struct random_stream random = random_start(7103, 8);

	for (int i = 0; i < CASES; i++) {
		struct cloth_case drawn = random_case(&random), plain = drawn;
		struct cloth_motion one, other;

		plain.body.grip = 1.0;
		plain.constants.value[SLIDING_FRICTION] *= drawn.body.grip;
		plain.constants.value[SPIN_FRICTION] *= drawn.body.grip;
		if (i % 2 == 1)
			drawn.start = plain.start =
			    cloth_roll_out(&drawn.start, &drawn.body, &drawn.constants, NULL);
		one = start_motion(&drawn, &drawn.start);
		other = start_motion(&plain, &plain.start);
		ck_assert_int_eq(one.phase, i % 2 == 1 ? CLOTH_ROLLING : CLOTH_SLIDING);
		ck_assert_double_eq_tol(one.duration, other.duration, 1e-13 * one.duration);
		ck_assert_double_eq_tol(one.side_decay, other.side_decay, 1e-13 * one.side_decay);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("laws of a ball on the cloth");
	TCase *tests = tcase_create("laws");

	tcase_add_test(tests, sliding_keeps_angular_momentum_about_a_bed_line);
	tcase_add_test(tests, phases_end_exactly);
	tcase_add_test(tests, full_draw_ends_standing);
	tcase_add_test(tests, motion_may_be_cut_anywhere);
	tcase_add_test(tests, side_spin_falls_alone);
	tcase_add_test(tests, sliding_agrees_with_small_steps);
	tcase_add_test(tests, energy_only_falls);
	tcase_add_test(tests, grip_multiplies_sliding_and_spin_friction);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
