/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"
#include "../reference/impact_reference.h"

#include <string.h>

#include "advise/conditions.h"
#include "shot_support.h"

/* What constants mean in players' terms, against the closed forms of formats.md 5 and against plain
 * evaluations beside the program: a second cushion impact (tests/reference/impact_reference.h), the
 * parabola of physics.md 1. */

#define CASES 200
#define G 9.80665

static const struct table *nine_foot(void)
{
	return table_find_preset("pool-9ft", strlen("pool-9ft"));
}

static struct constants drawn(struct random_stream *stream)
{
	struct constants constants = {.terms = {0.0}};

	shot_support_draw_constants(stream, &constants);
	return constants;
}

/* The square roots and fractions of formats.md 5, written out for the 9-foot table: L = 2.54 m,
 * 2R = 0.05715 m, a diamond 0.3175 m. */
START_TEST(closed_forms)
{
	struct random_stream stream = random_start(83117, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct constants c = drawn(&stream);
		double mu = c.value[SLIDING_FRICTION], roll = c.value[ROLLING_RESISTANCE];
		double spin = c.value[SPIN_FRICTION];

		misses +=
		    close_miss("closed", i, "one length", sqrt(2.0 * 2.48285 / (roll * G)),
		               condition_value(ONE_LENGTH_TIME_S, nine_foot(), &c), 1e-10) +
		    close_miss("closed", i, "stun slide", 12.0 * 4.0 / (49.0 * mu * G) / 0.3175,
		               condition_value(STUN_SLIDE_DIAMONDS, nine_foot(), &c), 1e-10) +
		    close_miss("closed", i, "full side lasts", 0.5 * 2.0 / (spin * G),
		               condition_value(FULL_SIDE_LASTS_S, nine_foot(), &c), 1e-10);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* check-values.md 1.4: 7 s over the 9-foot table is a rolling resistance of 0.01033. */
START_TEST(one_length_of_the_published_table)
{
	struct constants c = constants_centre();

	c.value[ROLLING_RESISTANCE] = 0.01033;
	ck_assert_double_eq_tol(condition_value(ONE_LENGTH_TIME_S, nine_foot(), &c), 7.0, 0.003);
	/* 1.1: stun at 2 m/s, friction 0.212 slides 0.47118 m. */
	c.value[SLIDING_FRICTION] = 0.212;
	ck_assert_double_eq_tol(condition_value(STUN_SLIDE_DIAMONDS, nine_foot(), &c),
	                        0.47118 / 0.3175, 1e-4);
}
END_TEST

/* physics.md 3 at a cut of 30 degrees, stunned, speed v: normal impulse J = (1 + e)/2 v cos 30,
 * slip v sin 30, friction the lesser of mu J and slip / 7. The speed does not matter. */
START_TEST(half_ball_throw)
{
	struct random_stream stream = random_start(83117, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct constants c = drawn(&stream);
		double j = 0.5 * (1.0 + c.value[BALL_RESTITUTION]) * sqrt(0.75);
		double f = fmin(c.value[BALL_FRICTION] * j, 0.5 / 7.0);

		misses += close_miss("throw", i, "angle", close_degrees(atan(f / j)),
		                     condition_value(HALF_BALL_THROW_DEG, nine_foot(), &c), 1e-9);
	}
	ck_assert_int_eq(misses, 0);
	/* check-values.md 3.1, first row: friction 0.06 throws by 3.4336 degrees. */
	struct constants c = constants_centre();

	c.value[BALL_FRICTION] = 0.06;
	ck_assert_double_eq_tol(condition_value(HALF_BALL_THROW_DEG, nine_foot(), &c), 3.4336,
	                        1e-4);
}
END_TEST

/* The outgoing state of an impact by the second implementation, in the rail's frame, spins as R
 * w. */
static void second_impact(const struct constants *c, double v[3], double rw[3])
{
	struct reference_impact impact = {.sine = 0.0363 / 0.028575 - 1.0,
	                                  .restitution = c->value[CUSHION_RESTITUTION],
	                                  .nose_friction = c->value[CUSHION_FRICTION],
	                                  .bed_friction = c->value[SLIDING_FRICTION],
	                                  .smoothing = 1e-4};
	double state[REFERENCE_SIZE];

	memcpy(state + REFERENCE_V, v, 3 * sizeof *v);
	memcpy(state + REFERENCE_W, rw, 3 * sizeof *rw);
	reference_solve(&impact, state);
	memcpy(v, state + REFERENCE_V, 3 * sizeof *v);
	memcpy(rw, state + REFERENCE_W, 3 * sizeof *rw);
}

/* Rolling at 1 m/s squarely at the nose: R wx = -v. Rolling again: v - 2/7 (v + R wx). */
START_TEST(square_rail_speed_kept)
{
	struct random_stream stream = random_start(83117, 3);
	int misses = 0;

	for (int i = 0; i < 20; i++) {
		struct constants c = drawn(&stream);
		double v[3] = {0.0, 1.0, 0.0}, rw[3] = {-1.0, 0.0, 0.0}, rolling;

		second_impact(&c, v, rw);
		rolling = v[1] - 2.0 / 7.0 * (v[1] + rw[0]);
		misses += close_miss(
		    "square", i, "kept", 100.0 * fabs(rolling),
		    condition_value(SQUARE_RAIL_SPEED_KEPT_PERCENT, nine_foot(), &c), 0.02);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A ball on its way across the table in the rail's frame of the right rail: along it (y of the
 * table) and towards it (x). Position, velocity and R w with wx about the way along, wy towards. */
struct crossing {
	double along, toward, v[3], rw[3];
};

/* Slides or rolls until `toward` reaches the goal; true when it does. Parabola of physics.md 1. */
static bool cross(struct crossing *ball, double goal, const struct constants *c)
{
	double mu = c->value[SLIDING_FRICTION] * G, roll = c->value[ROLLING_RESISTANCE] * G;
	double side_fall = 2.5 * c->value[SPIN_FRICTION] * G, time = 1e-5;

	/* Small steps of the equations of motion; 1e-5 s is short against every change here. */
	for (long k = 0; k < 3000000; k++) {
		double u[2] = {ball->v[0] - ball->rw[1], ball->v[1] + ball->rw[0]};
		double slip = hypot(u[0], u[1]), speed = hypot(ball->v[0], ball->v[1]);
		double before = ball->toward;

		if (slip > 3.5 * mu * time) {
			for (int i = 0; i < 2; i++)
				ball->v[i] -= mu * time * u[i] / slip;
			ball->rw[0] -= 2.5 * mu * time * u[1] / slip;
			ball->rw[1] += 2.5 * mu * time * u[0] / slip;
		} else {
			if (speed < roll * time)
				return false;
			for (int i = 0; i < 2; i++)
				ball->v[i] -= 2.0 / 7.0 * u[i] + roll * time * ball->v[i] / speed;
			ball->rw[0] = -ball->v[1];
			ball->rw[1] = ball->v[0];
		}
		ball->rw[2] =
		    copysign(fmax(0.0, fabs(ball->rw[2]) - side_fall * time), ball->rw[2]);
		ball->along += time * ball->v[0];
		ball->toward += time * ball->v[1];
		if ((before - goal) * (ball->toward - goal) <= 0.0)
			return true;
	}
	return false;
}

/* formats.md 5: the shift along the rail from first to second rail contact, square to the right
 * rail from short 1, 2 m/s, height 0, side 0.5. Constants near the middle of their priors, so that
 * no second contact with the same rail comes between. */
START_TEST(full_side_return)
{
	struct random_stream stream = random_start(83117, 4);
	int misses = 0;

	for (int i = 0; i < 12; i++) {
		struct constants c = constants_centre();
		/* The rail's frame: X along the rail, Y into it. R wz = 5/2 side v. */
		struct crossing ball = {
		    .toward = 0.3175, .v = {0.0, 2.0, 0.0}, .rw = {0.0, 0.0, 2.5}};
		double first;

		for (int id = 0; id < CONSTANT_COUNT; id++)
			if (constant_prior((enum constant_id)id)->scale == SCALE_LOG)
				c.value[id] *= exp(0.25 * random_normal(&stream));
		c.value[CUSHION_RESTITUTION] = shot_support_between(&stream, 0.85, 0.98);
		ck_assert(cross(&ball, 1.27 - 0.028575, &c));
		first = ball.along;
		second_impact(&c, ball.v, ball.rw);
		if (!cross(&ball, 0.028575, &c))
			continue;
		misses +=
		    close_miss("side", i, "diamonds", fabs(ball.along - first) / 0.3175,
		               condition_value(FULL_SIDE_RETURN_DIAMONDS, nine_foot(), &c), 0.004);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Over the whole ranges: the second counted contact, whatever comes between (formats.md 1:
 * successive contacts with one rail count once). */
START_TEST(full_side_return_counts_as_the_contract_does)
{
	struct random_stream stream = random_start(83117, 5);
	int misses = 0, told = 0;

	for (int i = 0; i < 3000; i++) {
		struct shot_support shot;
		struct shot_record record;
		double first = 0.0, wanted = (double)NAN, got;

		shot_support_start(&shot, 1);
		shot_support_draw_constants(&stream, &shot.constants);
		shot.states[0] = shot_support_ball(0.3175, 1.27, 0.028575, 0.0, 2.0, 0.0, 2.5);
		shot_support_play(&shot, NULL, &record);
		for (size_t k = 0; k < record.event_count && isnan(wanted); k++) {
			if (record.events[k].number == 1)
				first = record.events[k].position.y;
			if (record.events[k].number == 2)
				wanted = fabs(record.events[k].position.y - first) / 0.3175;
		}
		got = condition_value(FULL_SIDE_RETURN_DIAMONDS, nine_foot(), &shot.constants);
		if (isnan(wanted)) {
			misses += close_false("counted", i, "not told", isnan(got));
			continue;
		}
		told++;
		misses += close_miss("counted", i, "diamonds", wanted, got, 1e-4);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(told, 1000);
}
END_TEST

/* Standard deviation of the logarithm of a condition for normal scaled constants, by drawing
 * them. */
static double drawn_deviation(enum condition_id id, const double *mode, const double *deviations)
{
	struct random_stream stream = random_start(83117, 6);
	double sum = 0.0, squares = 0.0;
	int draws = 20000;

	for (int i = 0; i < draws; i++) {
		struct constants c = {.terms = {0.0}};
		double value;

		for (int k = 0; k < CONSTANT_COUNT; k++)
			c.value[k] = constant_from_scale(
			    (enum constant_id)k, mode[k] + deviations[k] * random_normal(&stream));
		value = log(condition_value(id, nine_foot(), &c));
		sum += value;
		squares += value * value;
	}
	return sqrt(squares / draws - sum / draws * (sum / draws));
}

/* standard_error = value x sd of the logarithm, low95 and high95 the 2.5 % and 97.5 % points; the
 * sd as drawing the constants gives it, for errors small enough that the conditions are straight
 * over them (a square rail hit has a bend, where the nose begins to stick, 5 % from the middle). */
START_TEST(intervals_carry_the_constants_errors)
{
	double mode[CONSTANT_COUNT], deviations[CONSTANT_COUNT];
	double covariance[CONSTANT_COUNT][CONSTANT_COUNT] = {{0.0}};
	int misses = 0;

	for (int k = 0; k < CONSTANT_COUNT; k++) {
		mode[k] = constant_to_scale((enum constant_id)k,
		                            constant_prior((enum constant_id)k)->centre);
		deviations[k] = 0.003 + 0.001 * k;
		covariance[k][k] = deviations[k] * deviations[k];
	}
	for (int id = 0; id < CONDITION_COUNT; id++) {
		double deviation = 0.0,
		       wanted = drawn_deviation((enum condition_id)id, mode, deviations);
		struct interval interval = condition_interval((enum condition_id)id, nine_foot(),
		                                              mode, covariance, 1.959964, &deviation);

		misses +=
		    close_miss(condition_name((enum condition_id)id), 0, "deviation", wanted,
		               deviation, 0.03 * wanted) +
		    close_miss("interval", id, "error", interval.value * deviation,
		               interval.standard_error, 1e-12) +
		    close_miss("interval", id, "low", interval.value * exp(-1.959964 * deviation),
		               interval.low95, 1e-6 * interval.value) +
		    close_miss("interval", id, "high", interval.value * exp(1.959964 * deviation),
		               interval.high95, 1e-6 * interval.value);
	}
	/* One length goes as the root of the rolling resistance. */
	condition_interval(ONE_LENGTH_TIME_S, nine_foot(), mode, covariance, 1.959964, &deviations[0]);
	misses += close_miss("interval", 0, "half of the rolling resistance's", 0.5 * 0.004,
	                     deviations[0], 1e-8);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Errors that go together cancel or add: the shift by side depends on several constants. */
START_TEST(intervals_carry_correlations)
{
	double mode[CONSTANT_COUNT], plus, minus, none;
	double covariance[CONSTANT_COUNT][CONSTANT_COUNT] = {{0.0}};
	const enum constant_id a = CUSHION_FRICTION, b = CUSHION_RESTITUTION;

	for (int k = 0; k < CONSTANT_COUNT; k++)
		mode[k] = constant_to_scale((enum constant_id)k,
		                            constant_prior((enum constant_id)k)->centre);
	covariance[a][a] = covariance[b][b] = 0.01;
	condition_interval(FULL_SIDE_RETURN_DIAMONDS, nine_foot(), mode, covariance, 1.959964, &none);
	covariance[a][b] = covariance[b][a] = 0.009;
	condition_interval(FULL_SIDE_RETURN_DIAMONDS, nine_foot(), mode, covariance, 1.959964, &plus);
	covariance[a][b] = covariance[b][a] = -0.009;
	condition_interval(FULL_SIDE_RETURN_DIAMONDS, nine_foot(), mode, covariance, 1.959964, &minus);
	ck_assert_double_gt(none, 0.0);
	ck_assert_double_eq_tol(plus * plus + minus * minus, 2.0 * none * none, 1e-9);
	ck_assert_double_gt(fabs(plus - minus), 0.01 * none);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("conditions");
	TCase *conditions = tcase_create("conditions");

	tcase_add_test(conditions, closed_forms);
	tcase_add_test(conditions, one_length_of_the_published_table);
	tcase_add_test(conditions, half_ball_throw);
	tcase_add_test(conditions, square_rail_speed_kept);
	tcase_add_test(conditions, full_side_return);
	tcase_add_test(conditions, full_side_return_counts_as_the_contract_does);
	tcase_add_test(conditions, intervals_carry_the_constants_errors);
	tcase_add_test(conditions, intervals_carry_correlations);
	suite_add_tcase(suite, conditions);
	return close_run(suite);
}
