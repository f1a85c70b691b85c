/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/slope.h"

/* Derivatives of the motion on a slope and on the level bed, against differences of the motion
 * itself at two widths, extrapolated (their error is of the fourth order). */

#define CASES 600
#define RADIUS 0.02863

/* Everything that a motion is made from; the inputs of enum slope_by in their order. */
struct motion_case {
	struct vector3 position;
	bool rolls;
	double in[SLOPE_BY];
};

struct built {
	struct ball_state start;
	struct cloth_motion motion;
};

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct built build(const struct motion_case *drawn)
{
	struct ball_body body = {RADIUS, 0.17, 1.0};
	struct constants constants = constants_centre();
	const double *in = drawn->in;
	struct built built = {.start = {drawn->position,
	                                {in[SLOPE_BY_VELOCITY_X], in[SLOPE_BY_VELOCITY_Y], 0.0},
	                                {in[SLOPE_BY_SPIN_X], in[SLOPE_BY_SPIN_Y], 0.0}}};

	if (drawn->rolls) {
		built.start.spin.x = -built.start.velocity.y / RADIUS;
		built.start.spin.y = built.start.velocity.x / RADIUS;
	}
	constants.value[drawn->rolls ? ROLLING_RESISTANCE : SLIDING_FRICTION] =
	    in[SLOPE_BY_FRICTION];
	constants.terms.slope_long = in[SLOPE_BY_LONG];
	constants.terms.slope_short = in[SLOPE_BY_SHORT];
	built.motion = cloth_motion_start(&built.start, &body, &constants);
	return built;
}

/* The parts of the state after `time`, and the duration as the last; time HUGE_VAL: at the end. */
static void outcome(const struct motion_case *drawn, double time, double out[SLOPE_PARTS + 1])
{
	struct built built = build(drawn);
	struct ball_state end =
	    cloth_advance(&built.start, &built.motion, RADIUS, fmin(time, built.motion.duration));
	double parts[SLOPE_PARTS] = {end.position.x, end.position.y, end.velocity.x,
	                             end.velocity.y, end.spin.x,     end.spin.y};

	for (int k = 0; k < SLOPE_PARTS; k++)
		out[k] = parts[k];
	out[SLOPE_PARTS] = built.motion.duration;
}

static void difference(const struct motion_case *drawn, double time, int by, double width,
                       double out[SLOPE_PARTS + 1])
{
	double low[SLOPE_PARTS + 1], high[SLOPE_PARTS + 1];
	struct motion_case moved = *drawn;

	moved.in[by] = drawn->in[by] + width;
	outcome(&moved, time, high);
	moved.in[by] = drawn->in[by] - width;
	outcome(&moved, time, low);
	for (int k = 0; k <= SLOPE_PARTS; k++)
		out[k] = (high[k] - low[k]) / (2.0 * width);
}

/* Size of a change of each input that changes the motion by its whole. */
static double input_scale(const struct motion_case *drawn, int by)
{
	double speed = hypot(drawn->in[SLOPE_BY_VELOCITY_X], drawn->in[SLOPE_BY_VELOCITY_Y]);

	if (by <= SLOPE_BY_VELOCITY_Y)
		return speed;
	if (by <= SLOPE_BY_SPIN_Y)
		return speed / RADIUS;
	return drawn->in[SLOPE_BY_FRICTION];
}

static int check_case(int i, const struct motion_case *drawn, double share)
{
	struct built built = build(drawn);
	double time = share * built.motion.duration, speed = input_scale(drawn, 0);
	double reach[SLOPE_PARTS + 1] = {
	    speed * time,   speed * time,         speed, speed, speed / RADIUS,
	    speed / RADIUS, built.motion.duration};
	struct slope_slopes slopes;
	int misses = 0;

	slope_differentiate(&built.start, &built.motion, RADIUS, drawn->in[SLOPE_BY_FRICTION], time,
	                    &slopes);
	for (int by = 0; by < SLOPE_BY; by++) {
		double scale = input_scale(drawn, by), width = 2e-4 * scale * (1.0 - share);
		double wide[SLOPE_PARTS + 1], narrow[SLOPE_PARTS + 1];

		difference(drawn, time, by, width, wide);
		difference(drawn, time, by, 0.5 * width, narrow);
		for (int k = 0; k <= SLOPE_PARTS; k++) {
			double wanted = (4.0 * narrow[k] - wide[k]) / 3.0;
			double got = k < SLOPE_PARTS ? slopes.by[k][by] : slopes.duration[by];

			misses += close_miss("slopes", 100 * i + 10 * by + k,
			                     "derivative (case, input, part)", wanted * scale,
			                     got * scale, 2e-8 * reach[k]);
		}
	}
	return misses;
}

static struct motion_case random_case(struct random_stream *random, double slope)
{
	double way = between(random, -CLOSE_PI, CLOSE_PI), v = between(random, 0.2, 2.0);
	double heading = between(random, -CLOSE_PI, CLOSE_PI);
	struct motion_case drawn = {.position = {0.31, 0.77, RADIUS}};
	double *in = drawn.in;

	drawn.rolls = random_uniform(random) < 0.5;
	in[SLOPE_BY_VELOCITY_X] = v * cos(heading);
	in[SLOPE_BY_VELOCITY_Y] = v * sin(heading);
	if (!drawn.rolls) {
		in[SLOPE_BY_SPIN_X] = between(random, -1.5, 1.5) * v / RADIUS;
		in[SLOPE_BY_SPIN_Y] = between(random, -1.5, 1.5) * v / RADIUS;
	}
	in[SLOPE_BY_FRICTION] =
	    drawn.rolls ? between(random, 0.005, 0.02) : between(random, 0.1, 0.4);
	in[SLOPE_BY_LONG] = slope * 1.4 * in[SLOPE_BY_FRICTION] * sin(way);
	in[SLOPE_BY_SHORT] = slope * 1.4 * in[SLOPE_BY_FRICTION] * cos(way);
	if (!drawn.rolls) {
		in[SLOPE_BY_LONG] *= 0.1;
		in[SLOPE_BY_SHORT] *= 0.1;
	}
	return drawn;
}

/* At a fixed time, anywhere in the phase; slopes up to three quarters of the steepest, and of
 * nearly nothing. */
START_TEST(derivatives_match_differences)
{
	struct random_stream random = random_start(9908, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		double slope = i % 3 == 0 ? pow(10.0, between(&random, -12.0, -3.0))
		                          : between(&random, 0.0, 0.75);
		struct motion_case drawn = random_case(&random, slope);

		misses += check_case(i, &drawn, between(&random, 0.02, 0.95));
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The level motion is its own kind of case: its derivatives by the slopes are not zero. */
START_TEST(the_level_bed_has_derivatives_by_slope)
{
	struct random_stream random = random_start(9908, 2);
	int misses = 0;

	for (int i = 0; i < CASES / 3; i++) {
		struct motion_case drawn = random_case(&random, 0.0);

		misses += close_false("slopes", i, "level", !build(&drawn).motion.curved) +
		          check_case(i, &drawn, between(&random, 0.02, 0.95));
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* At the end of a phase, the derivatives at the fixed time and the rate of the state times the
 * derivative of the duration make up those of the state at the end, wherever that moves to. */
START_TEST(derivatives_hold_at_the_end)
{
	struct random_stream random = random_start(9908, 3);
	int misses = 0;

	for (int i = 0; i < CASES / 3; i++) {
		struct motion_case drawn = random_case(&random, between(&random, 0.0, 0.7));
		struct built built = build(&drawn);
		double time = built.motion.duration, speed = input_scale(&drawn, 0);
		double size[SLOPE_PARTS] = {speed * time, speed * time,   speed,
		                            speed,        speed / RADIUS, speed / RADIUS};
		struct ball_state end = cloth_advance(&built.start, &built.motion, RADIUS, time);
		struct vector3 acceleration, spin_rate;
		struct slope_slopes slopes;

		cloth_rates(&built.motion, RADIUS, time, &acceleration, &spin_rate);
		slope_differentiate(&built.start, &built.motion, RADIUS,
		                    drawn.in[SLOPE_BY_FRICTION], time, &slopes);
		for (int by = 0; by < SLOPE_BY; by++) {
			double scale = input_scale(&drawn, by), wide[SLOPE_PARTS + 1];
			double narrow[SLOPE_PARTS + 1];
			double rate[SLOPE_PARTS] = {end.velocity.x, end.velocity.y, acceleration.x,
			                            acceleration.y, spin_rate.x,    spin_rate.y};

			difference(&drawn, HUGE_VAL, by, 2e-4 * scale, wide);
			difference(&drawn, HUGE_VAL, by, 1e-4 * scale, narrow);
			for (int k = 0; k < SLOPE_PARTS; k++)
				misses += close_miss(
				    "end", 100 * i + 10 * by + k, "derivative (case, input, part)",
				    scale * (4.0 * narrow[k] - wide[k]) / 3.0,
				    scale * (slopes.by[k][by] + rate[k] * slopes.duration[by]),
				    2e-8 * size[k]);
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("derivatives on a slope");
	TCase *tests = tcase_create("derivatives");

	tcase_add_test(tests, derivatives_match_differences);
	tcase_add_test(tests, the_level_bed_has_derivatives_by_slope);
	tcase_add_test(tests, derivatives_hold_at_the_end);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
