/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/collision.h"

/* Laws of the contact of two balls (physics.md 3), on random contacts of balls that may differ in
 * size, mass and grip, on the bed and in the air. */

#define CASES 100000

struct meeting {
	struct ball_body bodies[2];
	struct ball_state balls[2];
	double restitution, friction;
};

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct vector3 random_vector(struct random_stream *random, double most, double highest)
{
	double x = between(random, -most, most), y = between(random, -most, most);

	return vector3_make(x, y, between(random, -highest, highest));
}

/* Two touching balls: alike in every second meeting; the second at rest in every third; the line of
 * centres tilted, and balls in flight, in every fifth. */
static struct meeting random_meeting(struct random_stream *random, int which)
{
	struct meeting met = {.restitution = between(random, 0.8, 1.0),
	                      .friction = between(random, 0.003, 0.25)};
	double direction = between(random, -CLOSE_PI, CLOSE_PI), gap;
	double tilt = which % 5 == 0 ? between(random, -1.5, 1.5) : 0.0;

	for (int i = 0; i < 2; i++) {
		met.bodies[i].radius = between(random, 0.023, 0.031);
		met.bodies[i].mass = between(random, 0.09, 0.22);
		met.bodies[i].grip = between(random, 0.6, 1.5);
		met.balls[i].velocity = random_vector(random, 3.0, which % 5 == 0 ? 2.0 : 0.0);
		met.balls[i].spin = random_vector(random, 120.0, 120.0);
	}
	if (which % 2 == 0)
		met.bodies[1] = met.bodies[0];
	if (which % 3 == 0)
		met.balls[1].velocity = met.balls[1].spin = vector3_make(0.0, 0.0, 0.0);
	gap = met.bodies[0].radius + met.bodies[1].radius;
	met.balls[0].position = random_vector(random, 1.2, 0.0);
	met.balls[1].position = vector3_add(
	    met.balls[0].position,
	    vector3_make(gap * cos(tilt) * cos(direction), gap * cos(tilt) * sin(direction),
	                 gap * sin(tilt)));
	return met;
}

static struct collision_change meeting_change(const struct meeting *met)
{
	struct collision_contact contact = {.restitution = met->restitution,
	                                    .friction = met->friction};

	return collision_solve(&met->balls[0], &met->bodies[0], &met->balls[1], &met->bodies[1],
	                       &contact);
}

static double meeting_energy(const struct meeting *met)
{
	return ball_energy(&met->balls[0], &met->bodies[0]) +
	       ball_energy(&met->balls[1], &met->bodies[1]);
}

static void apply(struct meeting *met, const struct collision_change *change)
{
	for (int i = 0; i < 2; i++) {
		met->balls[i].velocity = vector3_add(met->balls[i].velocity, change->velocity[i]);
		met->balls[i].spin = vector3_add(met->balls[i].spin, change->spin[i]);
	}
}

static struct vector3 line_between(const struct meeting *met)
{
	struct vector3 n = vector3_subtract(met->balls[1].position, met->balls[0].position);

	return vector3_scale(1.0 / vector3_norm(n), n);
}

/* Slip of the first ball's surface past the second's where they touch. */
static struct vector3 contact_slip(const struct meeting *met)
{
	struct vector3 n = line_between(met), slip, arm[2];

	for (int i = 0; i < 2; i++)
		arm[i] = vector3_scale(i == 0 ? met->bodies[0].radius : -met->bodies[1].radius, n);
	slip = vector3_subtract(
	    vector3_add(met->balls[0].velocity, vector3_cross(met->balls[0].spin, arm[0])),
	    vector3_add(met->balls[1].velocity, vector3_cross(met->balls[1].spin, arm[1])));
	return vector3_subtract(slip, vector3_scale(vector3_dot(slip, n), n));
}

/* The same contact by vectors: one impulse with its torque on each ball. */
static struct collision_change independent_change(const struct meeting *met)
{
	const struct ball_body *bodies = met->bodies;
	struct vector3 n = line_between(met), slip = contact_slip(met), impulse;
	double masses = 1.0 / bodies[0].mass + 1.0 / bodies[1].mass;
	double approach =
	    vector3_dot(vector3_subtract(met->balls[0].velocity, met->balls[1].velocity), n);
	double normal = (1.0 + met->restitution) * approach / masses;
	double size = vector3_norm(slip);
	double friction = fmin(met->friction * sqrt(bodies[0].grip * bodies[1].grip) * normal,
	                       size / (3.5 * masses));
	struct collision_change change = {.approach = approach};

	if (approach <= 0.0)
		return change;
	impulse = vector3_add(vector3_scale(-normal, n), vector3_scale(-friction / size, slip));
	for (int i = 0; i < 2; i++) {
		struct vector3 own = vector3_scale(i == 0 ? 1.0 : -1.0, impulse);
		struct vector3 arm =
		    vector3_scale(i == 0 ? bodies[0].radius : -bodies[1].radius, n);
		double inertia = 0.4 * bodies[i].mass * bodies[i].radius * bodies[i].radius;

		change.velocity[i] = vector3_scale(1.0 / bodies[i].mass, own);
		change.spin[i] = vector3_scale(1.0 / inertia, vector3_cross(arm, own));
	}
	return change;
}

static int miss_change(const char *name, int i, const struct collision_change *wanted,
                       const struct collision_change *got, double tolerance)
{
	int misses = close_miss(name, i, "approach", wanted->approach, got->approach, tolerance);

	for (int j = 0; j < 2; j++) {
		struct vector3 v = vector3_subtract(got->velocity[j], wanted->velocity[j]);
		struct vector3 w = vector3_subtract(got->spin[j], wanted->spin[j]);

		/* Spins are of the order of velocities over a radius. */
		misses += close_miss(name, i, "velocity", 0.0, vector3_norm(v), tolerance) +
		          close_miss(name, i, "spin", 0.0, 0.03 * vector3_norm(w), tolerance);
	}
	return misses;
}

START_TEST(vectors_give_the_same)
{
	struct random_stream random = random_start(4211, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct meeting met = random_meeting(&random, i);
		struct collision_change wanted = independent_change(&met),
					got = meeting_change(&met);

		misses += miss_change("vectors", i, &wanted, &got, 1e-13) +
		          close_miss("vectors", i, "approach", wanted.approach,
		                     collision_approach(&met.balls[0], &met.balls[1]), 1e-14);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* About the origin. */
static struct vector3 angular_momentum(const struct meeting *met)
{
	struct vector3 sum = {0.0, 0.0, 0.0};

	for (int i = 0; i < 2; i++) {
		const struct ball_body *body = &met->bodies[i];
		double inertia = 0.4 * body->mass * body->radius * body->radius;

		sum = vector3_add(sum, vector3_scale(body->mass,
		                                     vector3_cross(met->balls[i].position,
		                                                   met->balls[i].velocity)));
		sum = vector3_add(sum, vector3_scale(inertia, met->balls[i].spin));
	}
	return sum;
}

START_TEST(momentum_is_kept_and_energy_falls)
{
	struct random_stream random = random_start(4211, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct meeting met = random_meeting(&random, i), after = met;
		struct collision_change change = meeting_change(&met);
		struct vector3 momentum =
		    vector3_add(vector3_scale(met.bodies[0].mass, change.velocity[0]),
		                vector3_scale(met.bodies[1].mass, change.velocity[1]));
		double energy = meeting_energy(&met);

		apply(&after, &change);
		misses += close_miss("keeps", i, "momentum", 0.0, vector3_norm(momentum), 1e-15) +
		          close_miss("keeps", i, "angular momentum", 0.0,
		                     vector3_norm(vector3_subtract(angular_momentum(&after),
		                                                   angular_momentum(&met))),
		                     1e-15) +
		          close_false("keeps", i, "energy does not rise",
		                      meeting_energy(&after) <= energy * (1.0 + 1e-14));
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Newton's restitution along the line of centres; Coulomb: friction against the slip and within
 * mu times the normal impulse, never past the end of the slip. */
START_TEST(contact_obeys_its_laws)
{
	struct random_stream random = random_start(4211, 3);
	int misses = 0, stuck = 0;

	for (int i = 0; i < CASES; i++) {
		struct meeting met = random_meeting(&random, i), after = met;
		struct collision_change change = meeting_change(&met);
		struct vector3 n = line_between(&met), before = contact_slip(&met), later;

		if (change.approach <= 0.0)
			continue;
		apply(&after, &change);
		later = contact_slip(&after);
		stuck += vector3_norm(later) < 1e-12;
		misses +=
		    close_miss("contact", i, "restitution", -met.restitution * change.approach,
		               collision_approach(&after.balls[0], &after.balls[1]), 1e-13) +
		    close_miss("contact", i, "slip keeps its direction", 0.0,
		               vector3_norm(vector3_cross(later, before)), 1e-12) +
		    close_false("contact", i, "slip does not turn round",
		                vector3_dot(later, before) >= -1e-12) +
		    close_miss("contact", i, "no spin about the line of centres", 0.0,
		               vector3_dot(change.spin[0], n), 1e-11);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(stuck, CASES / 100);
}
END_TEST

/* Balls that part or keep their distance change nothing. */
START_TEST(parting_balls_change_nothing)
{
	static const struct collision_change none = {.approach = 0.0};
	struct random_stream random = random_start(4211, 4);
	int parted = 0;

	for (int i = 0; i < CASES / 10; i++) {
		struct meeting met = random_meeting(&random, i);
		struct collision_change change;

		if (i % 5 == 0)
			met.balls[1].velocity = met.balls[0].velocity;
		change = meeting_change(&met);
		if (collision_approach(&met.balls[0], &met.balls[1]) > 0.0)
			continue;
		parted++;
		ck_assert(change.approach <= 0.0);
		ck_assert_mem_eq(change.velocity, none.velocity, sizeof none.velocity);
		ck_assert_mem_eq(change.spin, none.spin, sizeof none.spin);
	}
	ck_assert_int_ge(parted, CASES / 40);
}
END_TEST

/* Reflection in the plane y = 0: of a spin the parts along x and z change their signs. */
static void reflect(struct ball_state *ball)
{
	ball->position.y = -ball->position.y;
	ball->velocity.y = -ball->velocity.y;
	ball->spin.x = -ball->spin.x;
	ball->spin.z = -ball->spin.z;
}

START_TEST(mirror_images_agree_to_the_last_bit)
{
	struct random_stream random = random_start(4211, 5);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct meeting met = random_meeting(&random, i), mirror = met;
		struct collision_change one = meeting_change(&met), other;

		reflect(&mirror.balls[0]);
		reflect(&mirror.balls[1]);
		other = meeting_change(&mirror);
		for (int j = 0; j < 2; j++) {
			other.velocity[j].y = -other.velocity[j].y;
			other.spin[j].x = -other.spin[j].x;
			other.spin[j].z = -other.spin[j].z;
		}
		misses += miss_change("mirror", i, &one, &other, 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The order in which the balls are named does not matter. */
START_TEST(balls_may_be_swapped)
{
	struct random_stream random = random_start(4211, 6);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct meeting met = random_meeting(&random, i), swapped = met;
		struct collision_change one = meeting_change(&met), other, back;

		for (int j = 0; j < 2; j++) {
			swapped.balls[j] = met.balls[1 - j];
			swapped.bodies[j] = met.bodies[1 - j];
		}
		back = other = meeting_change(&swapped);
		for (int j = 0; j < 2; j++) {
			back.velocity[j] = other.velocity[1 - j];
			back.spin[j] = other.spin[1 - j];
		}
		misses += miss_change("swap", i, &one, &back, 1e-14);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("laws of ball on ball");
	TCase *tests = tcase_create("laws");

	tcase_add_test(tests, vectors_give_the_same);
	tcase_add_test(tests, momentum_is_kept_and_energy_falls);
	tcase_add_test(tests, contact_obeys_its_laws);
	tcase_add_test(tests, parting_balls_change_nothing);
	tcase_add_test(tests, mirror_images_agree_to_the_last_bit);
	tcase_add_test(tests, balls_may_be_swapped);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
