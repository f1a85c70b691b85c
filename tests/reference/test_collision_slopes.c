/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"
#include "differences.h"

#include "base/random.h"
#include "physics/collision.h"

/* Derivatives of the contact of two balls against extrapolated differences of the contact itself,
 * slipping and sticking, on the bed and in the air. */

#define CASES 2000

struct meeting {
	struct ball_body bodies[2];
	struct ball_state balls[2];
	struct collision_contact contact;
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

/* Balls that touch: alike, of unequal size on the bed, or in flight. */
static struct meeting random_meeting(struct random_stream *random, int which)
{
	struct meeting met = {.contact = {.restitution = between(random, 0.8, 1.0),
	                                  .friction = between(random, 0.003, 0.35),
	                                  .friction_fall = between(random, 0.0, 0.8)}};
	double direction = between(random, -CLOSE_PI, CLOSE_PI), tilt = 0.0, gap;

	for (int i = 0; i < 2; i++) {
		met.bodies[i].radius = between(random, 0.023, 0.031);
		met.bodies[i].mass = between(random, 0.09, 0.22);
		met.bodies[i].grip = between(random, 0.6, 1.5);
		met.balls[i].velocity = random_vector(random, 3.0, which % 3 == 2 ? 2.0 : 0.0);
		met.balls[i].spin = random_vector(random, 60.0, 60.0);
	}
	if (which % 3 == 0)
		met.bodies[1].radius = met.bodies[0].radius;
	gap = met.bodies[0].radius + met.bodies[1].radius;
	if (which % 3 == 1)
		tilt = asin((met.bodies[1].radius - met.bodies[0].radius) / gap);
	else if (which % 3 == 2)
		tilt = between(random, -1.2, 1.2);
	met.balls[0].position = random_vector(random, 1.2, 0.0);
	met.balls[1].position = vector3_add(
	    met.balls[0].position,
	    vector3_scale(gap, vector3_make(cos(tilt) * cos(direction), cos(tilt) * sin(direction),
	                                    sin(tilt))));
	return met;
}

static double *input_place(struct meeting *met, int input)
{
	double *places[COLLISION_IN];

	for (int i = 0; i < 2; i++) {
		struct ball_state *ball = &met->balls[i];
		double *own[COLLISION_STATE] = {&ball->position.x, &ball->position.y,
		                                &ball->velocity.x, &ball->velocity.y,
		                                &ball->spin.x,     &ball->spin.y,
		                                &ball->spin.z};

		for (int k = 0; k < COLLISION_STATE; k++)
			places[i * COLLISION_STATE + k] = own[k];
		places[2 * COLLISION_STATE + 3 + i] = &met->bodies[i].grip;
	}
	places[2 * COLLISION_STATE] = &met->contact.restitution;
	places[2 * COLLISION_STATE + 1] = &met->contact.friction;
	places[2 * COLLISION_STATE + 2] = &met->contact.friction_fall;
	return places[input];
}

static struct collision_change meeting_change(const struct meeting *met)
{
	return collision_solve(&met->balls[0], &met->bodies[0], &met->balls[1], &met->bodies[1],
	                       &met->contact);
}

static void shifted_change(const void *context, int changed, double shift, double *values)
{
	struct meeting met = *(const struct meeting *)context;
	struct collision_change change;

	*input_place(&met, changed) += shift;
	change = meeting_change(&met);
	for (int i = 0; i < 2; i++) {
		const double numbers[COLLISION_OUT] = {change.velocity[i].x, change.velocity[i].y,
		                                       change.spin[i].x, change.spin[i].y,
		                                       change.spin[i].z};

		for (int k = 0; k < COLLISION_OUT; k++)
			values[i * COLLISION_OUT + k] = numbers[k];
	}
}

/* The largest shift that stays well inside a regime: a spin moves a surface as R times it. */
static double input_step(int input)
{
	int number = input % COLLISION_STATE;

	if (input >= 2 * COLLISION_STATE)
		return 3e-4;
	return number < 2 ? 2e-5 : number < 4 ? 1e-3 : 0.05;
}

/* What is left of the slip tells the regimes apart; near their edge, without much slip or approach
 * differences cannot see the derivatives. */
enum regime { NEAR_EDGE, SLIPS, STICKS };

static enum regime find_regime(const struct meeting *met)
{
	struct collision_change change = meeting_change(met);
	struct vector3 n = vector3_subtract(met->balls[1].position, met->balls[0].position);
	struct vector3 slip = vector3_subtract(met->balls[0].velocity, met->balls[1].velocity);
	double size, most;

	n = vector3_scale(1.0 / vector3_norm(n), n);
	slip = vector3_subtract(slip, vector3_scale(change.approach, n));
	for (int i = 0; i < 2; i++)
		slip = vector3_add(slip, vector3_scale(met->bodies[i].radius,
		                                       vector3_cross(met->balls[i].spin, n)));
	size = vector3_norm(slip);
	most = 3.5 * met->contact.friction * sqrt(met->bodies[0].grip * met->bodies[1].grip) *
	       exp(-met->contact.friction_fall * (size - 1.0)) *
	       (1.0 + met->contact.restitution) * change.approach;
	if (change.approach < 0.1 || size < 0.1 || fabs(most - size) < 0.05 * size)
		return NEAR_EDGE;
	return most < size ? SLIPS : STICKS;
}

/* Relative to the largest number of the column among the velocities, or among the spins. */
static int check_column(int i, const struct meeting *met, int input,
                        const struct collision_slopes *slopes)
{
	double found[2 * COLLISION_OUT], scale[2] = {1e-4, 1e-2}; /* the floor: rounding of differences */
	int misses = 0;

	differences(shifted_change, met, input, input_step(input), 2 * COLLISION_OUT, found);
	for (int k = 0; k < 2 * COLLISION_OUT; k++) {
		double *size = &scale[k % COLLISION_OUT >= 2];

		*size = fmax(*size, fabs(found[k]));
	}
	for (int k = 0; k < 2 * COLLISION_OUT; k++)
		misses += close_miss("slopes", 100 * i + input, "slope", found[k],
		                     slopes->by[k][input], 1e-8 * scale[k % COLLISION_OUT >= 2]);
	return misses;
}

START_TEST(slopes_match_differences)
{
	struct random_stream random = random_start(4401, 1);
	int misses = 0, counts[3] = {0, 0, 0};

	for (int i = 0; i < CASES; i++) {
		struct meeting met = random_meeting(&random, i);
		enum regime regime = find_regime(&met);
		struct collision_slopes slopes;

		counts[regime]++;
		if (regime == NEAR_EDGE)
			continue;
		collision_find_slopes(&met.balls[0], &met.bodies[0], &met.balls[1], &met.bodies[1],
		                      &met.contact, &slopes);
		for (int input = 0; input < COLLISION_IN; input++)
			misses += check_column(i, &met, input, &slopes);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(counts[SLIPS], CASES / 5);
	ck_assert_int_ge(counts[STICKS], CASES / 50);
}
END_TEST

/* A ball that rolls without slip against another, at the spin that takes all throw away: the
 * derivatives are those of a contact that sticks. */
START_TEST(no_slip_has_the_slopes_of_sticking)
{
	const double r = 0.028575, v = 1.3, cut = 0.61;
	struct meeting met = {.bodies = {{r, 0.17, 1.0}, {r, 0.17, 1.0}},
	                      .contact = {.restitution = 0.94, .friction = 0.06}};
	struct collision_slopes slopes;

	met.balls[0] = (struct ball_state){.velocity = {v * cos(cut), v * sin(cut), 0.0},
	                                   .spin = {0.0, 0.0, -v * sin(cut) / r}};
	met.balls[1] = (struct ball_state){.position = {2.0 * r, 0.0, 0.0}};
	collision_find_slopes(&met.balls[0], &met.bodies[0], &met.balls[1], &met.bodies[1],
	                      &met.contact, &slopes);
	for (int input = 0; input < COLLISION_IN; input++)
		ck_assert_int_eq(check_column(0, &met, input, &slopes), 0);
	/* One seventh of a slip goes over to the other ball. */
	ck_assert_double_eq_tol(slopes.by[COLLISION_OUT + 1][3], 1.0 / 7.0, 1e-15);
}
END_TEST

START_TEST(parting_balls_have_no_slopes)
{
	struct random_stream random = random_start(4401, 2);
	int parted = 0;

	for (int i = 0; i < 300; i++) {
		struct meeting met = random_meeting(&random, i);
		struct collision_slopes slopes;

		if (collision_approach(&met.balls[0], &met.balls[1]) > 0.0)
			continue;
		parted++;
		collision_find_slopes(&met.balls[0], &met.bodies[0], &met.balls[1], &met.bodies[1],
		                      &met.contact, &slopes);
		for (int k = 0; k < 2 * COLLISION_OUT; k++)
			for (int input = 0; input < COLLISION_IN; input++)
				ck_assert_double_eq(slopes.by[k][input], 0.0);
	}
	ck_assert_int_ge(parted, 50);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("derivatives of ball on ball");
	TCase *tests = tcase_create("slopes");

	tcase_add_test(tests, slopes_match_differences);
	tcase_add_test(tests, no_slip_has_the_slopes_of_sticking);
	tcase_add_test(tests, parting_balls_have_no_slopes);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
