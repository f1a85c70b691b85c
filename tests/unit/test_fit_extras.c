/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "base/random.h"
#include "estimate/fit_extras.h"
#include "estimate/fit_extras_known.h"
#include "fit_support.h"

/* What can be fitted besides the constants: which unknowns a fit then has, their derivatives, their
 * priors, and what draws of them come to. */

static struct protocol protocol;
static struct measurement measurement;
static struct fault_list faults;
static struct fit_problem problem;
static struct fit_input input;

static void build(struct fit_wants wants)
{
	struct fit_options options = {.seed = 1, .wants = wants};

	input = (struct fit_input){&measurement, &protocol};
	ck_assert_int_eq(fit_problem_create_with(&problem, &input, 1, &options, &faults),
	                 STATUS_OK);
}

static void setup(void)
{
	fit_support_protocol(&protocol);
	fit_support_session(&protocol, 137, "given.csv", &measurement);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	fault_list_free(&faults);
	measurement_free(&measurement);
	protocol_free(&protocol);
}

static size_t count_extras(struct fit_wants wants)
{
	size_t count = 0;

	build(wants);
	for (size_t i = 0; i < problem.shared_count; i++)
		count += problem.shared[i].kind >= SHARED_HABITS;
	fit_problem_free(&problem);
	return count;
}

/* Two slopes, one fall, one push of the nap, a liveliness and a grip of four rails; a grip of each label but the
 * reference's, A (formats.md 3). */
START_TEST(unknowns_are_those_asked_for)
{
	ck_assert_uint_eq(count_extras((struct fit_wants){.slope = false}), 0);
	ck_assert_uint_eq(count_extras((struct fit_wants){.slope = true}), 2);
	ck_assert_uint_eq(count_extras((struct fit_wants){.liveliness_with_speed = true}), 1);
	ck_assert_uint_eq(count_extras((struct fit_wants){.grips = true}), 1);
	ck_assert_uint_eq(count_extras((struct fit_wants){.per_rail = true}), 8);
	measurement.rows[0].ball[BALL_CUE] = "B";
	measurement.rows[1].ball[BALL_CUE] = "O";
	ck_assert_uint_eq(count_extras((struct fit_wants){.grips = true}), 2);
	measurement.session.reference_ball = "B";
	ck_assert_uint_eq(count_extras((struct fit_wants){.grips = true}), 2);
	ck_assert_uint_eq(count_extras((struct fit_wants){.nap = true}), 1);
	ck_assert_uint_eq(count_extras((struct fit_wants){true, true, true, true, false, true}), 14);
}
END_TEST

/* A label has one grip, whatever part the ball plays. */
START_TEST(a_label_has_one_grip)
{
	int place = -1;

	measurement.rows[0].ball[BALL_CUE] = "O";
	build((struct fit_wants){.grips = true});
	ck_assert_int_ge(problem.strokes[0].parameter[SHARED_GRIP + BALL_CUE], CONSTANT_COUNT);
	place = problem.strokes[0].parameter[SHARED_GRIP + BALL_CUE];
	for (size_t i = 1; i < problem.stroke_count; i++) {
		const struct stroke_case *stroke = &problem.strokes[i];

		ck_assert_int_eq(stroke->parameter[SHARED_GRIP + BALL_CUE], -1);
		if (stroke->scene.setup.present[BALL_OBJECT])
			ck_assert_int_eq(stroke->parameter[SHARED_GRIP + BALL_OBJECT], place);
	}
	fit_problem_free(&problem);
}
END_TEST

/* Strokes whose derivatives by each unknown of the table agree with differences of their residuals,
 * extrapolated to a step of zero. */
static void compare_derivatives(const struct stroke_point *point, int *compared, int *missed)
{
	for (size_t i = 0; i < problem.stroke_count; i++) {
		struct stroke_case stroke = problem.strokes[i];

		ck_assert(stroke_case_linearise(&stroke, point, true));
		for (int shared = SHARED_HABITS; shared < SHARED_UNKNOWNS; shared++) {
			double residuals[4][RESIDUALS_MAX];
			const double h = 2e-3;

			if (stroke.parameter[shared] < 0)
				continue;
			for (int k = 0; k < 4; k++) {
				static const double steps[] = {-1.0, 1.0, -0.5, 0.5};
				struct stroke_point moved = *point;

				moved.shared[shared] += h * steps[k];
				ck_assert(stroke_case_residuals(&stroke, &moved, stroke.trial_own,
				                                residuals[k], NULL));
			}
			for (size_t r = 0; r < stroke.readings.residual_count; r++) {
				double wide = (residuals[1][r] - residuals[0][r]) / (2.0 * h);
				double narrow = (residuals[3][r] - residuals[2][r]) / h;
				double slope = (4.0 * narrow - wide) / 3.0;
				double found = stroke.by_outer[r][CONSTANT_COUNT + shared];

				(*compared)++;
				if (fabs(found - slope) <= 1e-3 * fabs(slope) + 1e-3)
					continue;
				(*missed)++;
				fprintf(stderr, "%s, unknown %d: %.6g, difference %.6g\n",
				        stroke.row->shot, shared, found, slope);
			}
		}
	}
}

/* On a level bed of even rails, and away from it. */
START_TEST(derivatives_agree_with_differences)
{
	struct random_stream stream = random_start(6113, 1);
	struct stroke_point point;
	int compared = 0, missed = 0;

	build((struct fit_wants){true, true, true, true, false, true});
	memset(&point, 0, sizeof point);
	compare_derivatives(&point, &compared, &missed);
	for (int shared = SHARED_HABITS; shared < SHARED_UNKNOWNS; shared++)
		point.shared[shared] = 0.6 * random_normal(&stream);
	compare_derivatives(&point, &compared, &missed);
	ck_assert_int_gt(compared, 500);
	/* A bend of the physics (a nose that begins to stick) may lie inside a step. */
	ck_assert_int_le(missed, compared / 100);
	fit_problem_free(&problem);
}
END_TEST

/* The density of the rails is that of numbers whose spread is drawn first: a mixture of normal ones
 * by the trapezoid rule over ten times as many spreads, and its derivatives by differences. */
static double mixed(const double *x)
{
	double sum = 0.0, weights = 0.0, squares = 0.0;

	for (int rail = 0; rail < RAIL_COUNT; rail++)
		squares += x[rail] * x[rail];
	for (int k = -500; k <= 500; k++) {
		double z = 0.005 * k;
		double spread = RAILS_SPREAD_CENTRE * exp(RAILS_SPREAD_LOG_DEVIATION * z);

		double end = k == -500 || k == 500 ? 0.5 : 1.0;

		weights += end * exp(-0.5 * z * z);
		sum += end * exp(-0.5 * z * z - 0.5 * squares / (spread * spread)) / pow(spread, 4.0);
	}
	return log(sum / weights) + 0.5 * squares;
}

START_TEST(rails_draw_one_another_together)
{
	static const double given[][RAIL_COUNT] = {
	    {0.0, 0.0, 0.0, 0.0}, {0.31, -0.17, 0.08, 0.23}, {-2.9, 0.21, 0.14, -0.12},
	    {0.9, -1.1, 0.7, 1.3}};
	double base = 0.0, x[40] = {0.0}, gradient[40], unused[40];

	build((struct fit_wants){.per_rail = true});
	ck_assert_uint_le(fit_problem_size(&problem), 40);
	for (size_t k = 0; k < sizeof given / sizeof given[0]; k++) {
		size_t first = CONSTANT_COUNT;
		double found;

		while (problem.shared[first - CONSTANT_COUNT].kind != SHARED_RAIL_LIVELINESS)
			first++;
		memcpy(x + first, given[k], sizeof given[k]);
		memset(gradient, 0, sizeof gradient);
		found = fit_extras_log_prior(&problem, x, gradient);
		if (k == 0)
			base = found - mixed(given[k]);
		ck_assert_double_eq_tol(found - mixed(given[k]), base, 0.02);
		for (size_t rail = 0; rail < RAIL_COUNT; rail++) {
			const double h = 1e-5;
			double up, down, middle = x[first + rail];

			x[first + rail] = middle + h;
			up = fit_extras_log_prior(&problem, x, unused);
			x[first + rail] = middle - h;
			down = fit_extras_log_prior(&problem, x, unused);
			x[first + rail] = middle;
			ck_assert_double_eq_tol(gradient[first + rail], (up - down) / (2.0 * h),
			                        1e-6);
		}
	}
	fit_problem_free(&problem);
}
END_TEST

/* Liveliness does not rise with speed, and a ball stops on the bed (physics.md 2 and 7). */
START_TEST(limits_are_kept)
{
	double x[40] = {0.0}, gradient[40] = {0.0};
	size_t place = CONSTANT_COUNT;

	build((struct fit_wants){.slope = true, .liveliness_with_speed = true});
	ck_assert_uint_le(fit_problem_size(&problem), 40);
	while (problem.shared[place - CONSTANT_COUNT].kind != SHARED_SLOPE_LONG)
		place++;
	ck_assert(fit_extras_log_prior(&problem, x, gradient) == 0.0);
	/* 7/5 of 0.010, the middle of the prior, in 2 mm a metre: 7. */
	x[place] = 6.9;
	ck_assert(fit_extras_log_prior(&problem, x, gradient) == 0.0);
	x[place] = 7.1;
	ck_assert(fit_extras_log_prior(&problem, x, gradient) == -HUGE_VAL);
	fit_extras_step_inside(&problem, x);
	ck_assert(fit_extras_log_prior(&problem, x, gradient) == 0.0);
	x[place + 2] = -0.01;
	ck_assert_int_eq(problem.shared[place + 2 - CONSTANT_COUNT].kind, SHARED_FALL);
	ck_assert(fit_extras_log_prior(&problem, x, gradient) == -HUGE_VAL);
	fit_extras_step_inside(&problem, x);
	ck_assert(fit_extras_log_prior(&problem, x, gradient) == 0.0);
	fit_problem_free(&problem);
}
END_TEST

/* Draws of a known distribution through fit_extras_known. */
#define DRAWS 4000

static void known_of(struct fit_wants wants, const double *mean, double deviation,
                     struct fit_result *result)
{
	struct random_stream stream = random_start(7717, 2);
	double *x;

	build(wants);
	*result = (struct fit_result){.arena = arena_create()};
	for (size_t i = 0; i < problem.shared_count; i++)
		result->extra_count += problem.shared[i].kind >= SHARED_HABITS;
	result->extra_draws =
	    arena_allocate(result->arena, DRAWS * result->extra_count * sizeof(double));
	x = calloc(fit_problem_size(&problem), sizeof *x);
	ck_assert(x != NULL && result->extra_draws != NULL);
	for (size_t i = 0, column = 0; i < problem.shared_count; i++)
		if (problem.shared[i].kind >= SHARED_HABITS)
			x[CONSTANT_COUNT + i] = mean[column++];
	for (size_t d = 0; d < DRAWS; d++)
		for (size_t i = 0; i < result->extra_count; i++) {
			double *draw = &result->extra_draws[d * result->extra_count + i];

			do
				*draw = mean[i] + deviation * random_normal(&stream);
			while (wants.liveliness_with_speed && *draw < 0.0);
		}
	ck_assert(fit_extras_known(&problem, x, DRAWS, result));
	free(x);
	fit_problem_free(&problem);
}

/* 3 and 4 mm a metre by 0.2: 5 mm, uphill atan(4/3) = 53.13 degrees from the foot to the right,
 * give or take 0.2/5 rad = 2.29 degrees. A tenth of that is no slope. */
START_TEST(slopes_have_a_direction)
{
	const double steep[] = {1.5, 2.0}, flat[] = {0.15, 0.2};
	struct fit_result result;

	known_of((struct fit_wants){.slope = true}, steep, 0.1, &result);
	ck_assert(result.has_slope && result.slope.has_direction);
	ck_assert_double_eq_tol(result.slope.along.best.value, 0.003, 2e-5);
	ck_assert_double_eq_tol(result.slope.across.best.high95, 0.004 + 1.96 * 2e-4, 3e-5);
	ck_assert_double_eq_tol(result.slope.steepness.best.value, 5.0, 0.02);
	ck_assert_double_eq_tol(result.slope.direction.best.value, 53.13, 0.2);
	ck_assert_double_eq_tol(result.slope.direction.best.standard_error, 2.29, 0.1);
	ck_assert_int_eq(result.slope.along.state, KNOWLEDGE_DETERMINED);
	arena_free(result.arena);
	known_of((struct fit_wants){.slope = true}, flat, 0.3, &result);
	ck_assert(!result.slope.has_direction);
	ck_assert(result.slope.steepness.best.low95 == 0.0);
	ck_assert(result.slope.along.best.low95 < 0.0 && result.slope.along.best.high95 > 0.0);
	arena_free(result.arena);
}
END_TEST

/* Standard normal points, of a normal number far above 0 and of one cut at 0. */
START_TEST(fall_ends_at_zero)
{
	const double far[] = {1.2}, none[] = {0.0};
	struct fit_result result;

	known_of((struct fit_wants){.liveliness_with_speed = true}, far, 0.05, &result);
	ck_assert_int_eq(result.liveliness_fall.state, KNOWLEDGE_DETERMINED);
	ck_assert_double_eq_tol(result.liveliness_fall.best.value, 0.048, 2e-4);
	ck_assert_double_eq_tol(result.liveliness_fall.best.low95, 0.048 - 1.96 * 0.002, 3e-4);
	arena_free(result.arena);
	known_of((struct fit_wants){.liveliness_with_speed = true}, none, 0.2, &result);
	ck_assert_int_eq(result.liveliness_fall.state, KNOWLEDGE_AT_LIMIT);
	ck_assert(result.liveliness_fall.best.low95 == 0.0);
	ck_assert(result.liveliness_fall.best.value == 0.0);
	ck_assert_double_eq_tol(result.liveliness_fall.best.high95, 1.96 * 0.008, 6e-4);
	arena_free(result.arena);
}
END_TEST

/* A grip is a factor: exp(0.3 x). One of which nothing is known tells the prior. */
START_TEST(grips_are_factors)
{
	const double known[] = {-1.1}, unknown[] = {-0.4};
	struct fit_result result;

	known_of((struct fit_wants){.grips = true}, known, 0.1, &result);
	ck_assert_uint_eq(result.grip_count, 1);
	ck_assert_str_eq(result.grips[0].label, "O");
	ck_assert_int_eq(result.grips[0].grip.state, KNOWLEDGE_DETERMINED);
	ck_assert_double_eq_tol(result.grips[0].grip.best.value, exp(-0.33), 3e-3);
	ck_assert_double_eq_tol(result.grips[0].grip.best.standard_error, 0.03 * exp(-0.33), 1e-3);
	arena_free(result.arena);
	known_of((struct fit_wants){.grips = true}, unknown, 0.9, &result);
	ck_assert_int_eq(result.grips[0].grip.state, KNOWLEDGE_NOT_DETERMINED);
	ck_assert(result.grips[0].grip.best.value == 1.0 && result.grips[0].grip.has_posterior);
	arena_free(result.arena);
}
END_TEST

/* -2 units of 2 % are 4 % dead, and beyond doubt at 0.6 %. */
START_TEST(a_dead_rail_stands_out)
{
	const double mean[] = {0.0, -2.0, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0};
	struct fit_result result;

	known_of((struct fit_wants){.per_rail = true}, mean, 0.3, &result);
	ck_assert(result.has_rails);
	ck_assert_double_eq_tol(result.rails.rail[RAIL_FOOT].liveliness.best.value, 0.96, 1e-3);
	ck_assert(profile_factor_stands_out(&result.rails.rail[RAIL_FOOT].liveliness));
	ck_assert(!profile_factor_stands_out(&result.rails.rail[RAIL_LEFT].liveliness));
	ck_assert(!profile_factor_stands_out(&result.rails.rail[RAIL_FOOT].grip));
	arena_free(result.arena);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("what is fitted besides the constants");
	TCase *tests = tcase_create("extras");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_test(tests, unknowns_are_those_asked_for);
	tcase_add_test(tests, a_label_has_one_grip);
	tcase_add_test(tests, derivatives_agree_with_differences);
	tcase_add_test(tests, rails_draw_one_another_together);
	tcase_add_test(tests, limits_are_kept);
	tcase_add_test(tests, slopes_have_a_direction);
	tcase_add_test(tests, fall_ends_at_zero);
	tcase_add_test(tests, grips_are_factors);
	tcase_add_test(tests, a_dead_rail_stands_out);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
