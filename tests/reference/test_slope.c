/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/slope.h"
#include "slope_series.h"

/* A ball on a bed that slopes: the closed form in its parameter against the power series in time of
 * the equations, against the drift of physics.md 1, the balance of energy and the level bed. */

#define CASES 1500

struct slope_case {
	struct ball_body body;
	struct constants constants;
	struct ball_state start;
	struct cloth_motion motion;
	double friction; /* of the motion's phase, with grip */
};

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct ball_state random_state(struct random_stream *random, double r, bool rolls)
{
	double v = between(random, 0.003, 3.0), way = between(random, -CLOSE_PI, CLOSE_PI);
	struct ball_state state = {
	    .position = {between(random, 0.0, 1.27), between(random, 0.0, 2.54), r},
	    .velocity = {v * cos(way), v * sin(way), 0.0}};

	state.spin =
	    vector3_make(-state.velocity.y / r, state.velocity.x / r, between(random, -90.0, 90.0));
	if (!rolls) {
		state.spin.x += between(random, -150.0, 150.0);
		state.spin.y += between(random, -150.0, 150.0);
	}
	return state;
}

/* Slopes of up to `steepest` of those on which a ball does not stop any more. */
static struct slope_case random_case(struct random_stream *random, double steepest)
{
	struct slope_case drawn = {.constants = constants_centre()};
	double *value = drawn.constants.value, slope, way = between(random, -CLOSE_PI, CLOSE_PI);
	double r = between(random, 0.023, 0.033);
	bool rolls = random_uniform(random) < 0.5;

	value[SLIDING_FRICTION] = between(random, 0.06, 0.5);
	value[ROLLING_RESISTANCE] = between(random, 0.003, 0.03);
	slope = 1.4 * value[ROLLING_RESISTANCE] * steepest * between(random, 0.01, 1.0);
	drawn.constants.terms.slope_long = slope * sin(way);
	drawn.constants.terms.slope_short = slope * cos(way);
	drawn.body = (struct ball_body){r, between(random, 0.09, 0.22), between(random, 0.7, 1.4)};
	drawn.start = random_state(random, r, rolls);
	drawn.motion = cloth_motion_start(&drawn.start, &drawn.body, &drawn.constants);
	drawn.friction =
	    rolls ? value[ROLLING_RESISTANCE] : value[SLIDING_FRICTION] * drawn.body.grip;
	return drawn;
}

static struct ball_state after(const struct slope_case *drawn, double time)
{
	return cloth_advance(&drawn->start, &drawn->motion, drawn->body.radius, time);
}

/* physics.md 1: a ball rolled to rest over d drifts (5/14) (s / mu_r) d down a slope s across its
 * way, to first order in s; for s = 0.5 mm per m, mu_r = 0.010, d = 2.4829 m that is 44.3 mm. */
START_TEST(drift_follows_the_rule_of_thumb)
{
	const double mu = 0.010, d = 2.4829, s = 0.0005, r = 0.028575;
	double speed = sqrt(2.0 * mu * STANDARD_GRAVITY * d), rule = 5.0 / 14.0 * s / mu * d;

	ck_assert_double_eq_tol(rule, 0.0443, 5e-5);
	for (int i = 0; i < 5; i++) {
		struct ball_body body = {r, 0.17, 1.0};
		struct constants constants = constants_centre();
		struct ball_state start = {.position = {1.1, 0.01, r},
		                           .velocity = {0.0, speed, 0.0},
		                           .spin = {-speed / r, 0.0, 0.0}};
		double small = ldexp(s, -2 * i);
		struct cloth_motion motion;
		struct ball_state end;

		constants.value[ROLLING_RESISTANCE] = mu;
		constants.terms.slope_short = small;
		motion = cloth_motion_start(&start, &body, &constants);
		end = cloth_advance(&start, &motion, r, motion.duration);
		/* The next order is of relative size (s / mu)^2. */
		ck_assert_double_eq_tol((1.1 - end.position.x) / ldexp(rule, -2 * i), 1.0,
		                        1.2 * (small / mu) * (small / mu));
		ck_assert_double_eq_tol(end.position.y - 0.01, d, d * (small / mu) * (small / mu));
		ck_assert(end.velocity.x == 0.0 && end.velocity.y == 0.0);
	}
}
END_TEST

START_TEST(motion_follows_its_power_series)
{
	struct random_stream random = random_start(9907, 1);
	int misses = 0, slides = 0;

	for (int i = 0; i < CASES; i++) {
		struct slope_case drawn = random_case(&random, i % 3 == 0 ? 0.98 : 0.3);
		double left = i % 2 == 0 ? between(&random, 0.0, 1.0)
		                         : pow(10.0, between(&random, -6.0, 0.0));
		double time = drawn.motion.duration * (1.0 - left), r = drawn.body.radius;
		struct ball_state end = after(&drawn, time);
		struct vector3 slip = ball_slip(&end, r), acceleration, spin_rate;
		struct series_ball ball = series_start(&drawn.start, r, drawn.motion.phase,
		                                       drawn.friction, &drawn.constants.terms);
		bool slide = drawn.motion.phase == CLOTH_SLIDING;
		double rate = slide ? drawn.friction : ball.friction_v / STANDARD_GRAVITY;

		/* Ways of up to hundreds of metres are drawn, and cannot be told to 1e-13 m. */
		double fine = 1e-13 * (1.0 + hypot(ball.v[0], ball.v[1]) * time);

		series_go(&ball, time);
		cloth_rates(&drawn.motion, r, time, &acceleration, &spin_rate);
		slides += slide;
		misses +=
		    close_false("series", i, "curved", drawn.motion.curved) +
		    close_miss("series", i, "x", ball.x[0], end.position.x, fine) +
		    close_miss("series", i, "y", ball.x[1], end.position.y, fine) +
		    close_miss("series", i, "vx", ball.v[0], end.velocity.x, 2e-14) +
		    close_miss("series", i, "vy", ball.v[1], end.velocity.y, 2e-14) +
		    close_miss("series", i, "slip x", slide ? ball.w[0] : 0.0, slip.x, 2e-14) +
		    close_miss("series", i, "slip y", slide ? ball.w[1] : 0.0, slip.y, 2e-14) +
		    close_miss("series", i, "ax",
		               -rate * STANDARD_GRAVITY * ball.w[0] / hypot(ball.w[0], ball.w[1]) +
		                   ball.pull_v[0],
		               acceleration.x, 1e-8) +
		    close_miss("series", i, "spin rate y",
		               (slide ? 2.5 * rate * STANDARD_GRAVITY * ball.w[0] /
		                            hypot(ball.w[0], ball.w[1])
		                      : acceleration.x) /
		                   r,
		               spin_rate.y, 1e-6);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(slides, CASES / 3);
	ck_assert_int_lt(slides, 2 * CASES / 3);
}
END_TEST

/* The duration is where the size of the series' vector goes to: at a share e of it before the end
 * the size is between (A - b) e T and (A + b) e T. The state at the end obeys the next phase. */
START_TEST(phases_end_on_time)
{
	struct random_stream random = random_start(9907, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct slope_case drawn = random_case(&random, 0.9);
		double t = drawn.motion.duration, early = 1e-5 * t, r = drawn.body.radius;
		struct series_ball ball = series_start(&drawn.start, r, drawn.motion.phase,
		                                       drawn.friction, &drawn.constants.terms);
		double pull = hypot(ball.pull_w[0], ball.pull_w[1]), size;
		struct ball_state end = after(&drawn, t), almost = after(&drawn, t * (1.0 - 1e-9));
		struct vector3 slip = ball_slip(&end, r);

		series_go(&ball, t - early);
		size = hypot(ball.w[0], ball.w[1]);
		misses += close_false("end", i, "size before it",
		                      size > 0.999 * (ball.friction_w - pull) * early &&
		                          size < 1.001 * (ball.friction_w + pull) * early) +
		          close_miss("end", i, "no slip", 0.0, vector3_norm(slip), 1e-15) +
		          close_miss("end", i, "steady", 0.0,
		                     vector3_norm(vector3_subtract(end.position, almost.position)),
		                     6e-9 * t); /* less than 6 m/s */
		if (drawn.motion.phase == CLOTH_ROLLING)
			misses +=
			    close_miss("end", i, "stops", 0.0, vector3_norm(end.velocity), 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Energy with that of height, m g s x, falls by what friction takes: sliding, mu m g |u| a second;
 * rolling, 7/5 mu_r m g |v|, since the energy of a rolling ball is 7/10 m v^2. Without side spin.
 * Simpson's rule; its error on these smooth functions is below 1e-9 of the whole. */
START_TEST(energy_is_balanced)
{
	struct random_stream random = random_start(9907, 3);
	const int parts = 400;
	int misses = 0;

	for (int i = 0; i < CASES / 10; i++) {
		struct slope_case drawn = random_case(&random, 0.8);
		const struct constant_terms *terms = &drawn.constants.terms;
		double time = 0.8 * drawn.motion.duration, lost = 0.0, height, before, g = 9.80665;
		double mg = drawn.body.mass * g;
		struct ball_state end = after(&drawn, time);
		bool slide = drawn.motion.phase == CLOTH_SLIDING;

		for (int k = 0; k <= parts; k++) {
			struct ball_state at = after(&drawn, time * k / parts);
			double speed = slide ? vector3_norm(ball_slip(&at, drawn.body.radius))
			                     : 1.4 * vector3_norm(at.velocity);
			double weight = k == 0 || k == parts ? 1.0 : k % 2 == 1 ? 4.0 : 2.0;

			lost += weight * drawn.friction * mg * speed * time / (3.0 * parts);
		}
		height = terms->slope_short * (end.position.x - drawn.start.position.x) +
		         terms->slope_long * (end.position.y - drawn.start.position.y);
		drawn.start.spin.z = end.spin.z = 0.0;
		before = ball_energy(&drawn.start, &drawn.body);
		misses += close_miss("energy", i, "balance", before,
		                     ball_energy(&end, &drawn.body) + mg * height + lost,
		                     1e-8 * before + 1e-12);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* On a bed that hardly slopes the motion is the level one to what the slope can do, and with no
 * slope it is the level one. */
START_TEST(the_level_bed_is_the_limit)
{
	struct random_stream random = random_start(9907, 4);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct slope_case drawn = random_case(&random, 0.5);
		double share = random_uniform(&random),
		       slope = pow(10.0, between(&random, -16.0, -13.0));
		double time;
		struct constants level = drawn.constants;
		struct cloth_motion motion;
		struct ball_state flat, tilted;

		level.terms.slope_long = level.terms.slope_short = 0.0;
		motion = cloth_motion_start(&drawn.start, &drawn.body, &level);
		misses += close_false("level", i, "not curved", !motion.curved);
		drawn.constants.terms.slope_long = slope;
		drawn.constants.terms.slope_short = -0.7 * slope;
		drawn.motion = cloth_motion_start(&drawn.start, &drawn.body, &drawn.constants);
		time = share * motion.duration;
		flat = cloth_advance(&drawn.start, &motion, drawn.body.radius, time);
		tilted = after(&drawn, time);
		misses += close_false("level", i, "curved", drawn.motion.curved) +
		          close_miss("level", i, "duration", 1.0,
		                     drawn.motion.duration / motion.duration, 1e-9) +
		          close_miss("level", i, "place", 0.0,
		                     vector3_norm(vector3_subtract(flat.position, tilted.position)),
		                     1e-9) +
		          close_miss("level", i, "velocity", 0.0,
		                     vector3_norm(vector3_subtract(flat.velocity, tilted.velocity)),
		                     1e-9) +
		          close_miss("level", i, "spin", 0.0,
		                     vector3_norm(vector3_subtract(flat.spin, tilted.spin)), 1e-7);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Straight up and straight down the slope the deceleration is constant: A + b and A - b. */
START_TEST(straight_ways_are_parabolas)
{
	struct random_stream random = random_start(9907, 5);
	int misses = 0;

	for (int i = 0; i < 200; i++) {
		struct constants constants = constants_centre();
		double mu = between(&random, 0.005, 0.02),
		       s = 1.4 * mu * between(&random, 0.0, 0.99);
		double v = (i % 2 == 0 ? 1.0 : -1.0) * between(&random, 0.05, 2.0), r = 0.0286, a,
		       t;
		struct ball_body body = {r, 0.17, 1.0};
		struct ball_state start = {.position = {0.3, 0.4, r},
		                           .velocity = {0.0, v, 0.0},
		                           .spin = {-v / r, 0.0, 0.0}},
				  at;
		struct cloth_motion motion;

		constants.value[ROLLING_RESISTANCE] = mu;
		constants.terms.slope_long = s;
		motion = cloth_motion_start(&start, &body, &constants);
		a = -copysign(mu * STANDARD_GRAVITY, v) - 5.0 / 7.0 * s * STANDARD_GRAVITY;
		t = random_uniform(&random) * -v / a;
		at = cloth_advance(&start, &motion, r, t);
		misses +=
		    close_miss("straight", i, "duration", 1.0, motion.duration * -a / v, 1e-12) +
		    close_miss("straight", i, "place", 0.4 + v * t + 0.5 * a * t * t, at.position.y,
		               1e-13 * (1.0 + v * v / fabs(a))) +
		    close_miss("straight", i, "velocity", v + a * t, at.velocity.y, 1e-13) +
		    close_miss("straight", i, "sideways", 0.3, at.position.x, 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A motion cut anywhere goes on as if it were not: the same ends, of two legs and of one. */
START_TEST(motions_can_be_cut)
{
	struct random_stream random = random_start(9907, 6);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct slope_case drawn = random_case(&random, 0.6), later = drawn;
		double cut = random_uniform(&random) * drawn.motion.duration;
		double rest = drawn.motion.duration - cut;
		struct cloth_motion motion;
		struct ball_state whole, legs;

		later.start = after(&drawn, cut);
		motion = cloth_motion_later(&drawn.motion, &later.start, drawn.body.radius);
		later.motion = cloth_motion_start(&later.start, &later.body, &later.constants);
		rest *= random_uniform(&random);
		whole = after(&drawn, cut + rest);
		legs = cloth_advance(&later.start, &motion, drawn.body.radius, rest);
		misses += close_miss("cut", i, "duration", drawn.motion.duration,
		                     cut + motion.duration, 1e-12 * drawn.motion.duration) +
		          close_miss("cut", i, "started anew", motion.duration,
		                     later.motion.duration, 1e-12 * drawn.motion.duration) +
		          close_miss("cut", i, "place", 0.0,
		                     vector3_norm(vector3_subtract(whole.position, legs.position)),
		                     1e-13 * (1.0 + vector3_norm(whole.position))) +
		          close_miss("cut", i, "velocity", 0.0,
		                     vector3_norm(vector3_subtract(whole.velocity, legs.velocity)),
		                     1e-13) +
		          close_miss("cut", i, "spin", 0.0,
		                     vector3_norm(vector3_subtract(whole.spin, legs.spin)), 1e-10);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Below 7/5 of rolling resistance a ball stops, and one at rest stays. */
START_TEST(balls_stop_where_they_must)
{
	struct constants constants = constants_centre(), held;
	double limit = 1.4 * constants.value[ROLLING_RESISTANCE];
	struct ball_body body = {0.0286, 0.17, 1.0};
	struct ball_state still = {.position = {0.5, 0.6, 0.0286}};
	struct cloth_motion motion;

	ck_assert(slope_stops(&constants));
	constants.terms.slope_short = 0.6 * limit * (1.0 - 1e-9);
	constants.terms.slope_long = -0.8 * limit * (1.0 - 1e-9);
	ck_assert(slope_stops(&constants));
	motion = cloth_motion_start(&still, &body, &constants);
	ck_assert_int_eq(motion.phase, CLOTH_REST);
	ck_assert(motion.duration == HUGE_VAL);
	held = slope_held(&constants, RAIL_LEFT);
	ck_assert(held.terms.slope_short == 0.0);
	ck_assert(held.terms.slope_long == constants.terms.slope_long);
	held = slope_held(&constants, RAIL_RIGHT);
	ck_assert(held.terms.slope_short == constants.terms.slope_short);
	held = slope_held(&constants, RAIL_FOOT);
	ck_assert(held.terms.slope_long == 0.0);
	held = slope_held(&constants, RAIL_HEAD);
	ck_assert(held.terms.slope_long == constants.terms.slope_long);
	constants.terms.slope_long = -0.8 * limit * (1.0 + 1e-8);
	ck_assert(!slope_stops(&constants));
	constants.terms.slope_long = 0.0;
	constants.value[SLIDING_FRICTION] = 0.28 * constants.terms.slope_short;
	ck_assert(!slope_stops(&constants));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("a bed that slopes");
	TCase *tests = tcase_create("motion");

	tcase_add_test(tests, drift_follows_the_rule_of_thumb);
	tcase_add_test(tests, motion_follows_its_power_series);
	tcase_add_test(tests, phases_end_on_time);
	tcase_add_test(tests, energy_is_balanced);
	tcase_add_test(tests, the_level_bed_is_the_limit);
	tcase_add_test(tests, straight_ways_are_parabolas);
	tcase_add_test(tests, motions_can_be_cut);
	tcase_add_test(tests, balls_stop_where_they_must);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
