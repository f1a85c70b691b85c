/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables drawn from a profile: spreads, correlations, what is not determined, what is held. Expected values: the
 * numbers that the profile states; sample moments within the bounds that their standard errors
 * give. */
#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "advise/table_draws.h"

#define DRAWS 40000
#define TOLERANCE 0.02 /* four standard errors of a correlation, and of a standardised moment */

static const char *order[] = {"sliding_friction", "cushion_friction", "grip:B", "ball_friction"};
static double matrix[16];
static struct profile_ball balls[] = {
    {.label = "A", .reference = true, .grip = {.best.value = 1.0, .state = KNOWLEDGE_HELD}},
    {.label = "B", .reference = false}};

/* A normal on the logarithmic scale. */
static struct estimate log_estimate(double value, double spread, enum knowledge state)
{
	return (struct estimate){.best = {.value = value,
	                                  .standard_error = value * spread,
	                                  .low95 = value * exp(-1.959963984540054 * spread),
	                                  .high95 = value * exp(1.959963984540054 * spread)},
	                         .state = state,
	                         .has_interval = true};
}

static struct estimate linear_estimate(double value, double error)
{
	return (struct estimate){.best = {value, error, value - 1.959963984540054 * error,
	                                  value + 1.959963984540054 * error},
	                         .state = KNOWLEDGE_DETERMINED,
	                         .has_interval = true};
}

static void correlate(int a, int b, double value)
{
	matrix[4 * a + b] = matrix[4 * b + a] = value;
}

static struct profile make_profile(void)
{
	struct profile profile = {.table = *table_presets(&(size_t){0}),
	                          .correlation_count = 4,
	                          .correlation_order = order,
	                          .correlation = matrix,
	                          .ball_count = 2,
	                          .balls = balls};

	for (int i = 0; i < CONSTANT_COUNT; i++)
		profile.constants[i] =
		    (struct estimate){.best.value = constant_prior((enum constant_id)i)->centre,
		                      .state = KNOWLEDGE_HELD};
	for (int i = 0; i < 4; i++)
		correlate(i, i, 1.0);
	profile.constants[SLIDING_FRICTION] = log_estimate(0.1837, 0.0721, KNOWLEDGE_DETERMINED);
	profile.constants[CUSHION_FRICTION] = log_estimate(0.1519, 0.1183, KNOWLEDGE_WEAK);
	profile.constants[BALL_FRICTION] =
	    log_estimate(0.06, constant_prior(BALL_FRICTION)->spread, KNOWLEDGE_NOT_DETERMINED);
	profile.constants[BALL_FRICTION].has_posterior = true;
	profile.constants[BALL_FRICTION].posterior = log_estimate(0.047, 0.33, KNOWLEDGE_WEAK).best;
	balls[1].grip = log_estimate(0.7313, 0.0537, KNOWLEDGE_DETERMINED);
	correlate(0, 1, 0.61);
	correlate(1, 2, -0.83);
	correlate(0, 2, -0.37);
	correlate(3, 0, 0.9); /* of one that is not determined: not to be believed */
	return profile;
}

/* Standardised normals of a drawn table, in the order of the correlation. */
static void standardise(const struct drawn_table *table, double out[4])
{
	out[0] = log(table->constants.value[SLIDING_FRICTION] / 0.1837) / 0.0721;
	out[1] = log(table->constants.value[CUSHION_FRICTION] / 0.1519) / 0.1183;
	out[2] = log(table->grip[BALL_OBJECT] / 0.7313) / 0.0537;
	out[3] = log(table->constants.value[BALL_FRICTION] / 0.047) / 0.33;
}

START_TEST(test_moments)
{
	static const double wanted[4][4] = {{1.0, 0.61, -0.37, 0.0},
	                                    {0.61, 1.0, -0.83, 0.0},
	                                    {-0.37, -0.83, 1.0, 0.0},
	                                    {0.0, 0.0, 0.0, 1.0}};
	const char *labels[BALL_ROLES] = {NULL, "B", "B"};
	struct profile profile = make_profile();
	struct table_draws draws = table_draws_profile(&profile, labels);
	double sums[4] = {0.0}, products[4][4] = {{0.0}};

	for (uint64_t i = 0; i < DRAWS; i++) {
		struct random_stream stream = random_start(90210, i);
		struct drawn_table table = table_draws_take(&draws, &stream);
		double x[4];

		standardise(&table, x);
		for (int a = 0; a < 4; a++) {
			sums[a] += x[a] / DRAWS;
			for (int b = 0; b < 4; b++)
				products[a][b] += x[a] * x[b] / DRAWS;
		}
		/* One ball in two parts is one ball; the reference ball has no spread; held means held. */
		ck_assert(table.grip[BALL_OBJECT2] == table.grip[BALL_OBJECT]);
		ck_assert(table.grip[BALL_CUE] == 1.0);
		ck_assert(table.constants.value[ROLLING_RESISTANCE] ==
		          constant_prior(ROLLING_RESISTANCE)->centre);
	}
	for (int a = 0; a < 4; a++) {
		/* Ball friction is cut at its hard limits. */
		double tolerance = a == 3 ? 0.03 : TOLERANCE;

		ck_assert_double_eq_tol(sums[a], 0.0, TOLERANCE);
		for (int b = 0; b < 4; b++) {
			double bound = a == b ? 1.5 * tolerance : tolerance;

			ck_assert_double_eq_tol(products[a][b], wanted[a][b], bound);
		}
	}
}
END_TEST

/* Slope, fall and rails about their values with their standard errors; without them a level table
 * with like rails, always. */
START_TEST(test_extras)
{
	struct profile profile = make_profile();
	struct table_draws plain = table_draws_profile(&profile, NULL), draws;
	double sums[3] = {0.0}, squares[3] = {0.0};
	static const double value[3] = {0.00137, 1.0213, 0.871},
			    error[3] = {0.00041, 0.0119, 0.0531};

	profile.has_slope = profile.has_rails = profile.has_liveliness_fall = true;
	profile.slope.along = linear_estimate(value[0], error[0]);
	profile.slope.across = (struct estimate){.best.value = -0.0021, .state = KNOWLEDGE_HELD};
	profile.liveliness_fall = linear_estimate(0.003, 0.02);
	for (int i = 0; i < RAIL_COUNT; i++)
		profile.rails.rail[i] = (struct profile_rail){linear_estimate(value[1], error[1]),
		                                              linear_estimate(value[2], error[2])};
	draws = table_draws_profile(&profile, NULL);
	for (uint64_t i = 0; i < DRAWS; i++) {
		struct random_stream stream = random_start(4711, i), again = stream;
		struct drawn_table table = table_draws_take(&draws, &stream);
		struct drawn_table level = table_draws_take(&plain, &again);
		double x[3] = {table.constants.terms.slope_long,
		               1.0 + table.rails[RAIL_LEFT].liveliness,
		               table.rails[RAIL_FOOT].grip};

		for (int k = 0; k < 3; k++) {
			sums[k] += (x[k] - value[k]) / error[k] / DRAWS;
			squares[k] += pow((x[k] - value[k]) / error[k], 2.0) / DRAWS;
		}
		ck_assert(table.constants.terms.slope_short == -0.0021);
		ck_assert_double_ge(table.constants.terms.liveliness_fall, 0.0);
		ck_assert(level.constants.terms.slope_long == 0.0);
		ck_assert(level.rails[RAIL_HEAD].liveliness == 0.0 &&
		          level.rails[RAIL_HEAD].grip == 1.0);
	}
	for (int k = 0; k < 3; k++) {
		ck_assert_double_eq_tol(sums[k], 0.0, TOLERANCE);
		ck_assert_double_eq_tol(squares[k], 1.0, 1.5 * TOLERANCE);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("table draws");
	TCase *tests = tcase_create("table draws");
	SRunner *runner;
	int failed;

	tcase_add_test(tests, test_moments);
	tcase_add_test(tests, test_extras);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
