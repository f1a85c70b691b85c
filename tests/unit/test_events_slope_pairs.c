/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "shot/events.h"
#include "shot_support.h"

/* Times at which two balls meet on a bed that slopes, against scanning their paths in small steps.
 * The paths are those of physics/cloth, whose own tests hold them against power series. */

#define CASES 1500
#define STEPS 1500
#define RADIUS 0.028575

static const struct ball_body body = {RADIUS, 0.163, 1.0};

static double between(struct random_stream *stream, double low, double high)
{
	return shot_support_between(stream, low, high);
}

static void draw_slope(struct random_stream *stream, struct constants *constants)
{
	double way = between(stream, -M_PI, M_PI), limit;

	constants->value[SLIDING_FRICTION] = between(stream, 0.1, 0.4);
	constants->value[ROLLING_RESISTANCE] = between(stream, 0.005, 0.03);
	limit = 1.4 * constants->value[ROLLING_RESISTANCE] * between(stream, 0.01, 0.7);
	constants->terms.slope_long = limit * sin(way);
	constants->terms.slope_short = limit * cos(way);
}

struct pair_case {
	struct ball_state ball[2];
	struct cloth_motion motion[2];
	double within;
};

static void start_motions(struct pair_case *pair, const struct constants *constants)
{
	pair->within = HUGE_VAL;
	for (int k = 0; k < 2; k++) {
		pair->motion[k] = cloth_motion_start(&pair->ball[k], &body, constants);
		pair->within = fmin(pair->within, pair->motion[k].duration);
	}
}

static struct vector3 apart(const struct pair_case *pair, double t)
{
	struct ball_state a = cloth_advance(&pair->ball[0], &pair->motion[0], RADIUS, t);
	struct ball_state b = cloth_advance(&pair->ball[1], &pair->motion[1], RADIUS, t);

	return vector3_subtract(b.position, a.position);
}

static double pair_gap(const struct pair_case *pair, double t)
{
	return vector3_norm(apart(pair, t)) - 2.0 * RADIUS;
}

static double pair_time(const struct pair_case *pair)
{
	struct event_pair both = {.state = {&pair->ball[0], &pair->ball[1]},
	                          .motion = {&pair->motion[0], &pair->motion[1]},
	                          .reach = 2.0 * RADIUS};

	return event_pair_time(&both, pair->within);
}

static int check_pair_case(const char *name, int i, const struct pair_case *pair, int *met)
{
	double time = pair_time(pair), end = fmin(time, pair->within), least = HUGE_VAL;

	for (int k = 1; k < STEPS; k++)
		least = fmin(least, pair_gap(pair, end * k / STEPS));
	if (time == HUGE_VAL)
		return close_false(name, i, "nothing is met at all", least > -1e-12);
	(*met)++;
	return close_false(name, i, "nothing is met before", least > -1e-12) +
	       close_false(name, i, "within both phases", time <= pair->within) +
	       close_miss(name, i, "gap", 0.0, pair_gap(pair, time), 1e-12);
}

/* Two balls, the second often at rest, the first often sent roughly at it. */
static struct pair_case random_pair(struct random_stream *stream, const struct constants *constants)
{
	struct pair_case pair;
	double away = 2.0 * RADIUS + pow(10.0, between(stream, -7.0, 0.0));
	double way = between(stream, -M_PI, M_PI);
	bool aimed = random_uniform(stream) < 0.7;

	for (int k = 0; k < 2; k++) {
		double v = between(stream, 0.05, 2.0);
		double heading = aimed && k == 0
		                     ? way + between(stream, -1.0, 1.0) * 2.2 * RADIUS / away
		                     : between(stream, -M_PI, M_PI);

		if (k == 1 && random_uniform(stream) < 0.5)
			v = 0.0;
		pair.ball[k] = shot_support_ball(0.6, 1.2, RADIUS, heading, v, v, 0.2);
		if (random_uniform(stream) < 0.4 && v > 0.0)
			pair.ball[k].spin.x += between(stream, -1.0, 1.0) * v / RADIUS;
	}
	pair.ball[1].position =
	    vector3_add(pair.ball[0].position, vector3_make(away * cos(way), away * sin(way), 0.0));
	start_motions(&pair, constants);
	return pair;
}

START_TEST(pair_times_equal_a_scan)
{
	struct random_stream stream = random_start(88402, 1);
	struct shot_support shot;
	int misses = 0, met = 0;

	shot_support_start(&shot, 2);
	for (int i = 0; i < CASES; i++) {
		struct pair_case pair;

		draw_slope(&stream, &shot.constants);
		pair = random_pair(&stream, &shot.constants);
		misses += check_pair_case("pair", i, &pair, &met);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(met, CASES / 5);
	ck_assert_int_gt(CASES - met, CASES / 5);
}
END_TEST

/* The time of least distance in the phase, by golden section around the least of a scan. */
static double nearest_time(const struct pair_case *pair)
{
	double part = 0.3819660112501051, low, high;
	int least = 0;

	for (int k = 1; k <= STEPS; k++)
		if (pair_gap(pair, pair->within * k / STEPS) <
		    pair_gap(pair, pair->within * least / STEPS))
			least = k;
	low = pair->within * (least - 1) / STEPS;
	high = pair->within * (least + 1) / STEPS;
	for (int k = 0; k < 90; k++) {
		double a = low + part * (high - low), b = high - part * (high - low);

		if (pair_gap(pair, a) > pair_gap(pair, b))
			low = a;
		else
			high = b;
	}
	return least == 0 || least == STEPS ? -1.0 : low;
}

/* A ball that passes one at rest on a bent way at both radii, more or less: the resting ball is
 * moved along the line of centres of the nearest moment. */
START_TEST(grazed_balls_are_met_or_missed)
{
	struct random_stream stream = random_start(88402, 2);
	struct shot_support shot;
	int misses = 0, cases = 0;

	shot_support_start(&shot, 2);
	for (int i = 0; i < CASES / 3; i++) {
		double over = pow(10.0, between(&stream, -10.0, -6.0)) * (i % 2 == 0 ? 1.0 : -1.0);
		double nearest, time, v = between(&stream, 0.3, 1.5), distance;
		struct pair_case pair = {.within = 0.0};
		struct vector3 line;

		draw_slope(&stream, &shot.constants);
		pair.ball[0] = shot_support_ball(0.2, 0.3, RADIUS, 0.9, v, v, 0.3);
		pair.ball[1].position = vector3_make(0.2 + between(&stream, 0.1, 0.5),
		                                     0.3 + between(&stream, 0.2, 0.7), RADIUS);
		start_motions(&pair, &shot.constants);
		nearest = nearest_time(&pair);
		if (nearest < 0.0)
			continue;
		line = apart(&pair, nearest);
		distance = vector3_norm(line);
		pair.ball[1].position =
		    vector3_add(pair.ball[1].position,
		                vector3_scale((2.0 * RADIUS - over - distance) / distance, line));
		cases++;
		time = pair_time(&pair);
		if (over < 0.0)
			misses += close_false("graze", i, "missed", time == HUGE_VAL);
		else
			misses += close_false("graze", i, "met", time < nearest + 1e-5) +
			          close_miss("graze", i, "gap", 0.0, pair_gap(&pair, time), 1e-12);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(cases, CASES / 6);
}
END_TEST

/* The balls of a touching pair that parts are not inside one another before they meet, and touch
 * when they do. */
static int check_parting(const char *name, int i, const struct pair_case *pair, int *met)
{
	double time = pair_time(pair), end = fmin(time, pair->within), least = HUGE_VAL;

	for (int k = 1; k < STEPS; k++)
		least = fmin(least, pair_gap(pair, end * k / STEPS));
	*met += time < HUGE_VAL;
	if (time == HUGE_VAL)
		return close_false(name, i, "nothing is met", least > -1e-9);
	return close_false(name, i, "not inside before", least > -1e-9) +
	       close_miss(name, i, "gap", 0.0, pair_gap(pair, time), 1e-9) +
	       close_false(name, i, "later", time > 1e-4);
}

/* In touch: they meet at once when they approach; hardly ever again when one rolls away from the
 * other, at rest (only a steep slope can bring it back); often when it has spin for that. */
START_TEST(touching_balls_meet_at_once_or_later_or_never)
{
	static const double gaps[] = {0.0, 4e-10, -4e-10};
	struct random_stream stream = random_start(88402, 3);
	struct shot_support shot;
	int misses = 0, met = 0, again = 0;

	shot_support_start(&shot, 2);
	for (int i = 0; i < CASES / 3; i++) {
		double way = between(&stream, -M_PI, M_PI), v = between(&stream, 0.01, 0.5);
		double away = 2.0 * RADIUS + gaps[i % 3];
		struct pair_case pair = {.within = 0.0};

		draw_slope(&stream, &shot.constants);
		pair.ball[0] = shot_support_ball(0.6, 1.1, RADIUS, way, v, v, 0.2);
		pair.ball[1] = pair.ball[0];
		pair.ball[1].velocity = pair.ball[1].spin = vector3_make(0.0, 0.0, 0.0);
		pair.ball[1].position.x += away * cos(way);
		pair.ball[1].position.y += away * sin(way);
		start_motions(&pair, &shot.constants);
		misses += close_miss("touch", i, "at once", 0.0, pair_time(&pair), 0.0);
		pair.ball[0].velocity = vector3_scale(-1.0, pair.ball[0].velocity);
		pair.ball[0].spin.x *= -1.0;
		pair.ball[0].spin.y *= -1.0;
		start_motions(&pair, &shot.constants);
		misses += check_parting("away", i, &pair, &again);
		pair.ball[0].spin = vector3_scale(-between(&stream, 5.0, 12.0), pair.ball[0].spin);
		start_motions(&pair, &shot.constants);
		misses += check_parting("back", i, &pair, &met);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_lt(again, CASES / 30);
	ck_assert_int_gt(met, CASES / 30);
}
END_TEST

/* At rest in touch, and one is driven into the other by spin: they meet soon, not deep inside. */
START_TEST(pressed_balls_meet_soon)
{
	struct random_stream stream = random_start(88402, 4);
	struct shot_support shot;
	int misses = 0;

	shot_support_start(&shot, 2);
	for (int i = 0; i < 200; i++) {
		double way = between(&stream, -M_PI, M_PI), time;
		struct pair_case pair = {.within = 0.0};

		draw_slope(&stream, &shot.constants);
		pair.ball[0] = shot_support_ball(0.6, 1.1, RADIUS, way, 0.0, 0.4, 0.0);
		pair.ball[1].position = vector3_make(0.6 + 2.0 * RADIUS * cos(way),
		                                     1.1 + 2.0 * RADIUS * sin(way), RADIUS);
		start_motions(&pair, &shot.constants);
		time = pair_time(&pair);
		misses += close_false("pressed", i, "they meet", time > 0.0 && time < 2.1e-3) +
		          close_false("pressed", i, "not deep", pair_gap(&pair, time) > -3e-6);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("pairs on a slope");
	TCase *pairs = tcase_create("pairs");

	tcase_add_test(pairs, pair_times_equal_a_scan);
	tcase_add_test(pairs, grazed_balls_are_met_or_missed);
	tcase_add_test(pairs, touching_balls_meet_at_once_or_later_or_never);
	tcase_add_test(pairs, pressed_balls_meet_soon);
	suite_add_tcase(suite, pairs);
	return close_run(suite);
}
