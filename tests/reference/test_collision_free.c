/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/collision.h"

/* Ball on ball: what the horizontal model of physics.md 3 says, balls of two sizes, balls in the
 * air, and friction that falls with the slip. */

#define CASES 50000
#define RADIUS 0.028575

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct ball_state random_ball(struct random_stream *random, double radius)
{
	double x = between(random, -1.0, 1.0), y = between(random, -1.0, 1.0);
	double vx = between(random, -3.0, 3.0), vy = between(random, -3.0, 3.0);
	double wx = between(random, -120.0, 120.0), wy = between(random, -120.0, 120.0);

	return (struct ball_state){.position = {x, y, radius},
	                           .velocity = {vx, vy, 0.0},
	                           .spin = {wx, wy, between(random, -120.0, 120.0)}};
}

/* physics.md 3, line by line, for equal balls on the bed. */
static struct collision_change flat_change(const struct ball_state *first,
                                           const struct ball_state *second,
                                           const struct ball_body *body, double restitution,
                                           double friction)
{
	struct collision_change change = {.approach = 0.0};
	struct vector3 n = vector3_subtract(second->position, first->position), t, st, relative;
	double m = body->mass, r = body->radius, slip_flat, slip_up, slip, normal, ratio;

	n = vector3_scale(1.0 / vector3_norm_flat(n), n);
	t = vector3_make(-n.y, n.x, 0.0);
	relative = vector3_subtract(first->velocity, second->velocity);
	change.approach = vector3_dot(relative, n);
	if (!(change.approach > 0.0))
		return change;
	st = vector3_add(vector3_scale(r, first->spin), vector3_scale(r, second->spin));
	slip_flat = vector3_dot(relative, t) + st.z;
	slip_up = st.x * n.y - st.y * n.x;
	slip = hypot(slip_flat, slip_up);
	normal = (1.0 + restitution) * (m * m / (m + m)) * change.approach;
	ratio = fmin(friction * sqrt(body->grip * body->grip) * normal,
	             2.0 / 7.0 * (m * m / (m + m)) * slip) /
	        slip;
	change.velocity[0] = vector3_add(vector3_scale(-normal / m, n),
	                                 vector3_scale(-1.0 * (ratio * slip_flat) / m, t));
	change.velocity[1] = vector3_add(vector3_scale(normal / m, n),
	                                 vector3_scale(1.0 * (ratio * slip_flat) / m, t));
	for (int i = 0; i < 2; i++) {
		double turn = 2.5 / (m * r);

		change.spin[i] = vector3_make(turn * (ratio * slip_up) * t.x,
		                              turn * (ratio * slip_up) * t.y,
		                              -turn * (ratio * slip_flat));
	}
	return change;
}

static int miss_bits(int i, const char *what, struct vector3 wanted, struct vector3 got)
{
	return close_miss("flat", i, what, wanted.x, got.x, 0.0) +
	       close_miss("flat", i, what, wanted.y, got.y, 0.0) +
	       close_miss("flat", i, what, wanted.z, got.z, 0.0);
}

/* To the last bit, once the bed has taken up the vertical velocities. */
START_TEST(equal_balls_on_the_bed_follow_the_flat_model)
{
	struct random_stream random = random_start(4307, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct ball_body body = {RADIUS, between(&random, 0.1, 0.2), between(&random, 0.5, 1.5)};
		struct ball_state a = random_ball(&random, RADIUS), b = random_ball(&random, RADIUS);
		struct collision_contact contact = {.restitution = between(&random, 0.8, 1.0),
		                                    .friction = between(&random, 0.003, 0.25)};
		struct collision_change wanted =
		    flat_change(&a, &b, &body, contact.restitution, contact.friction);
		struct collision_change got = collision_solve(&a, &body, &b, &body, &contact);

		got.velocity[0].z = got.velocity[1].z = 0.0;
		for (int k = 0; k < 2; k++)
			misses += miss_bits(i, "velocity", wanted.velocity[k], got.velocity[k]) +
			          miss_bits(i, "spin", wanted.spin[k], got.spin[k]);
		misses += close_miss("flat", i, "approach", wanted.approach, got.approach, 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A full hit of a blackball cue ball (47.6 mm, 94 g) on an object ball (50.8 mm, 116 g; sizes of
 * check-values.md 6) without friction, by hand: the centres are 1.6 mm apart in height and
 * 2 sqrt(R1 R2) on the bed, so the line rises by sin = 1.6 / 49.2; the impulse along it is (1 + e)
 * m1 m2 / (m1 + m2) v cos. */
START_TEST(blackballs_meet_on_a_tilted_line)
{
	static const struct ball_body bodies[2] = {{0.0238, 0.094, 1.0}, {0.0254, 0.116, 1.0}};
	const double e = 0.95, v = 1.37, sine = 1.6 / 49.2, cosine = sqrt(1.0 - sine * sine);
	const double impulse = (1.0 + e) * 0.094 * 0.116 / 0.210 * v * cosine;
	struct collision_contact contact = {.restitution = e};
	struct ball_state cue = {.position = {0.5, 0.7, 0.0238}}, object = cue;
	struct vector3 way = vector3_make(cos(0.9), sin(0.9), 0.0);
	struct collision_change change;

	cue.velocity = vector3_scale(v, way);
	object.position = vector3_add(
	    cue.position, vector3_scale(2.0 * sqrt(0.0238 * 0.0254), way));
	object.position.z = 0.0254;
	change = collision_solve(&cue, &bodies[0], &object, &bodies[1], &contact);
	ck_assert_double_eq_tol(change.approach, v * cosine, 1e-14);
	ck_assert_double_eq_tol(vector3_dot(change.velocity[0], way), -impulse * cosine / 0.094, 1e-14);
	ck_assert_double_eq_tol(vector3_dot(change.velocity[1], way), impulse * cosine / 0.116, 1e-14);
	/* The smaller ball is pressed into the bed, the larger one lifted. */
	ck_assert_double_eq_tol(change.velocity[0].z, -impulse * sine / 0.094, 1e-14);
	ck_assert_double_eq_tol(change.velocity[1].z, impulse * sine / 0.116, 1e-14);
	ck_assert_double_le(vector3_norm(change.spin[0]) + vector3_norm(change.spin[1]), 0.0);
}
END_TEST

/* A ball that falls on the middle of another sends it straight down, and one rotated about any axis
 * meets as before: the laws know no vertical. */
static struct vector3 rotated(struct vector3 v)
{
	return vector3_make(v.y, v.z, v.x);
}

static struct ball_state rotated_ball(const struct ball_state *ball)
{
	return (struct ball_state){.position = rotated(ball->position),
	                           .velocity = rotated(ball->velocity),
	                           .spin = rotated(ball->spin)};
}

START_TEST(the_laws_know_no_vertical)
{
	struct random_stream random = random_start(4307, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct ball_body small = {0.0238, 0.094, 0.9}, large = {0.0254, 0.116, 1.2};
		struct ball_state a = random_ball(&random, 0.0238), b = random_ball(&random, 0.0254);
		struct ball_state c = rotated_ball(&a), d = rotated_ball(&b);
		struct collision_contact contact = {.restitution = between(&random, 0.8, 1.0),
		                                    .friction = between(&random, 0.003, 0.25),
		                                    .friction_fall = between(&random, 0.0, 1.0)};
		struct collision_change one = collision_solve(&a, &small, &b, &large, &contact),
					other = collision_solve(&c, &small, &d, &large, &contact);

		for (int k = 0; k < 2; k++) {
			struct vector3 v = rotated(one.velocity[k]), w = rotated(one.spin[k]);

			v = vector3_subtract(v, other.velocity[k]);
			w = vector3_subtract(w, other.spin[k]);
			misses += close_miss("turned", i, "velocity", 0.0, vector3_norm(v), 1e-13) +
			          close_miss("turned", i, "spin", 0.0, 0.03 * vector3_norm(w),
			                     1e-13);
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

START_TEST(a_ball_right_above_another_meets_it)
{
	static const struct ball_body body = {RADIUS, 0.17, 1.0};
	struct ball_state above = {.position = {0.2, 0.3, 3.0 * RADIUS}, .velocity = {0, 0, -1.3}};
	struct ball_state below = {.position = {0.2, 0.3, RADIUS}};
	struct collision_contact contact = {.restitution = 0.91, .friction = 0.07};
	struct collision_change change = collision_solve(&above, &body, &below, &body, &contact);
	struct collision_slopes slopes;

	ck_assert_double_eq_tol(change.velocity[0].z, 0.955 * 1.3, 1e-15);
	ck_assert_double_eq_tol(change.velocity[1].z, -0.955 * 1.3, 1e-15);
	ck_assert_double_eq(vector3_norm_flat(change.velocity[0]), 0.0);
	above.velocity.x = 0.9;
	change = collision_solve(&above, &body, &below, &body, &contact);
	ck_assert_double_eq_tol(change.velocity[1].x, 0.07 * 0.955 * 1.3, 1e-15);
	ck_assert_double_eq_tol(change.spin[1].y,
	                        2.5 * 0.07 * 0.955 * 1.3 / RADIUS, 1e-12);
	collision_find_slopes(&above, &body, &below, &body, &contact, &slopes);
	for (int k = 0; k < 2 * COLLISION_OUT; k++)
		for (int j = 0; j < COLLISION_IN; j++)
			ck_assert_double_eq(slopes.by[k][j], 0.0);
}
END_TEST

/* collision.h: the friction holds at a slip of 1 m/s and falls by exp(-f) for each m/s more; a
 * stunned cue ball slips by v sin(cut), and a slipping contact throws by the friction. */
START_TEST(friction_falls_with_the_slip)
{
	static const struct ball_body body = {RADIUS, 0.1634, 1.0};
	const double cut = 0.83, f = 0.41, mu = 0.057;

	for (double v = 0.37; v < 6.0; v *= 1.7) {
		struct ball_state cue = {.position = {0.0, 0.0, RADIUS},
		                         .velocity = {v * cos(cut), v * sin(cut), 0.0}};
		struct ball_state object = {.position = {2.0 * RADIUS, 0.0, RADIUS}};
		struct collision_contact contact = {0.94, mu, f};
		struct collision_change change =
		    collision_solve(&cue, &body, &object, &body, &contact);

		ck_assert_double_eq_tol(change.velocity[1].y / change.velocity[1].x,
		                        mu * exp(-f * (v * sin(cut) - 1.0)), 1e-15);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("free balls");
	TCase *tests = tcase_create("free");

	tcase_add_test(tests, equal_balls_on_the_bed_follow_the_flat_model);
	tcase_add_test(tests, blackballs_meet_on_a_tilted_line);
	tcase_add_test(tests, the_laws_know_no_vertical);
	tcase_add_test(tests, a_ball_right_above_another_meets_it);
	tcase_add_test(tests, friction_falls_with_the_slip);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
