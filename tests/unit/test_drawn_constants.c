/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "base/random.h"
#include "estimate/coverage.h"
#include "estimate/drawn_constants.h"
#include "estimate/fit_states.h"
#include "estimate/posterior.h"
#include "fit_support.h"

/* From draws to what is told of the constants (formats.md 5), with draws made by hand: the points
 * of a normal distribution at even probabilities, so that moments and percentiles are known; being
 * DRAWS of them, they spread less than the distribution by some 0.2 % of its deviation, and shuffled
 * they go together by some 1/sqrt(DRAWS) = 0.016, which the tolerances allow for. */

#define DRAWS 3999
#define SIZE CONSTANT_COUNT

struct made {
	double (*draws)[CONSTANT_COUNT];
	struct fit_result result;
};

static double centre_of(int id)
{
	return constant_to_scale((enum constant_id)id, constant_prior((enum constant_id)id)->centre);
}

/* What a deviation of `known` of the prior's becomes when the readings tell less by factor. */
static double widened(double known, double factor)
{
	return 1.0 / sqrt(1.0 + (1.0 / (known * known) - 1.0) / factor);
}

/* The points in another order for each constant, so that hardly any go together. */
static void shuffle(int order[DRAWS], int id)
{
	struct random_stream stream = random_start(RANDOM_DEFAULT_SEED, (uint64_t)id);

	for (int k = 0; k < DRAWS; k++) {
		int other = (int)((k + 1) * random_uniform(&stream));

		order[k] = order[other];
		order[other] = k;
	}
}

/* Every constant at `off` deviations of its prior from the middle, spread over `known` of them;
 * skewed: the upper half over twice that. */
static void make(struct made *made, double off, double known, bool skewed)
{
	int order[DRAWS];

	memset(made, 0, sizeof *made);
	made->draws = calloc(DRAWS, sizeof *made->draws);
	ck_assert_ptr_nonnull(made->draws);
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		shuffle(order, id);
		for (int k = 0; k < DRAWS; k++) {
			double z = gsl_cdf_ugaussian_Pinv((order[k] + 1.0) / (DRAWS + 1.0));

			if (skewed && z > 0.0)
				z *= 2.0;
			made->draws[k][id] = centre_of(id) +
			                     constant_prior((enum constant_id)id)->spread *
			                         (off + known * z);
		}
	}
	made->result = (struct fit_result){.draw_count = DRAWS,
	                                   .draws = made->draws,
	                                   .chi_square = 40.0,
	                                   .degrees_of_freedom = 41.5,
	                                   .chi_square_p = 0.54,
	                                   .has_clock = true};
}

static void fill(struct made *made, double best)
{
	double x[SIZE], covariance[SIZE * SIZE] = {0.0};

	for (int id = 0; id < CONSTANT_COUNT; id++)
		x[id] = best;
	ck_assert(fit_states_fill(&made->result, x, covariance, SIZE));
}

/* Median, 2.5 % and 97.5 % points, standard deviation, all wider by about DRAWN_WIDENED; on the sliding
 * friction, whose fitted scale is the logarithm. */
START_TEST(numbers_come_from_the_draws)
{
	const double spread = 0.470004; /* physics.md 8 */
	const double known = widened(0.1, DRAWN_WIDENED * DRAWN_WIDENED);
	struct made made;
	const struct estimate *sliding = &made.result.constants[SLIDING_FRICTION];

	make(&made, 0.3, 0.1, false);
	fill(&made, 0.3);
	ck_assert_double_eq_tol(sliding->best.value, 0.2 * exp(0.3 * spread), 1e-4);
	ck_assert_double_eq_tol(sliding->best.low95,
	                        0.2 * exp((0.3 - 1.959964 * known) * spread), 3e-4);
	ck_assert_double_eq_tol(sliding->best.high95,
	                        0.2 * exp((0.3 + 1.959964 * known) * spread), 3e-4);
	ck_assert_double_eq_tol(sliding->learned, 1.0 - known, 5e-3);
	ck_assert_double_eq_tol(made.result.covariance[SLIDING_FRICTION][SLIDING_FRICTION],
	                        known * known * spread * spread, 4e-5);
	free(made.draws);
	make(&made, 0.0, 0.1, true);
	fill(&made, 0.0);
	/* About the mean, 0.1 (2 - 1) / sqrt(2 pi) above the median. */
	ck_assert_double_eq_tol(log(sliding->best.high95 / sliding->best.value) /
	                            log(sliding->best.value / sliding->best.low95),
	                        2.0, 0.05);
	free(made.draws);
}
END_TEST

/* A fit too bad to be chance: wider by the root of chi-square over the degrees of freedom, and
 * Student's factor (formats.md 5; GUM G.3). */
START_TEST(bad_fits_widen_the_draws)
{
	const double spread = 0.470004, student = coverage_factor(40.0) / 1.959964;
	struct made made;
	const struct estimate *rolling = &made.result.constants[ROLLING_RESISTANCE];
	double known = widened(0.1, DRAWN_WIDENED * DRAWN_WIDENED * 2.25);

	make(&made, 0.0, 0.1, false);
	made.result.chi_square = 90.0;
	made.result.degrees_of_freedom = 40.0;
	made.result.chi_square_p = 0.009;
	fill(&made, 0.0);
	ck_assert(made.result.scaled);
	ck_assert_double_eq_tol(rolling->learned, 1.0 - known, 5e-3);
	ck_assert_double_eq_tol(rolling->best.high95 / rolling->best.value,
	                        exp(student * 1.959964 * known * spread), 3e-3);
	free(made.draws);
}
END_TEST

/* What was not learned is the prior's, however wide the draws are made. */
START_TEST(no_draws_are_wider_than_the_prior)
{
	struct made made;

	make(&made, 0.0, 0.995, false);
	made.result.chi_square = 500.0;
	made.result.degrees_of_freedom = 40.0;
	made.result.chi_square_p = 0.0;
	fill(&made, 0.0);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		ck_assert_double_ge(made.result.constants[id].learned, -0.03);
	free(made.draws);
}
END_TEST

/* Draws stay within the hard limits however they are widened. */
START_TEST(limits_hold_the_draws)
{
	const double low = (log(0.03) - log(0.20)) / 0.470004; /* of sliding friction, physics.md 8 */
	struct made made;

	make(&made, low + 0.1, 0.2, false);
	fill(&made, low + 0.01);
	ck_assert_double_eq(made.result.constants[SLIDING_FRICTION].best.low95, 0.03);
	ck_assert_int_eq(made.result.constants[SLIDING_FRICTION].state, KNOWLEDGE_AT_LIMIT);
	for (int k = 0; k < DRAWS; k++)
		ck_assert_double_ge(made.draws[k][SLIDING_FRICTION], log(0.03));
	free(made.draws);
}
END_TEST

/* A whole fit: the draws agree with its linear approximation where readings tell much, are the same
 * again, and are as many as they say. */
START_TEST(a_session_is_drawn)
{
	struct protocol protocol;
	struct measurement measurement;
	struct fit_result first, again;

	fit_support_protocol(&protocol);
	fit_support_session(&protocol, 3, "drawn", &measurement);
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 9, &first, NULL), STATUS_OK);
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 9, &again, NULL), STATUS_OK);
	ck_assert_uint_ge(first.draw_count, 500);
	ck_assert_uint_eq(first.draw_count, again.draw_count);
	ck_assert(memcmp(first.draws, again.draws, first.draw_count * sizeof *first.draws) == 0);
	for (size_t k = 0; k < first.draw_count; k++)
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			const struct constant_prior *prior = constant_prior((enum constant_id)id);
			double value =
			    constant_from_scale((enum constant_id)id, first.draws[k][id]);

			ck_assert(value >= prior->lowest * (1.0 - 1e-12) &&
			          value <= prior->highest * (1.0 + 1e-12));
		}
	fit_result_free(&first);
	fit_result_free(&again);
	measurement_free(&measurement);
	protocol_free(&protocol);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("drawn constants");
	TCase *drawn = tcase_create("drawn");

	tcase_add_test(drawn, numbers_come_from_the_draws);
	tcase_add_test(drawn, bad_fits_widen_the_draws);
	tcase_add_test(drawn, no_draws_are_wider_than_the_prior);
	tcase_add_test(drawn, limits_hold_the_draws);
	tcase_add_test(drawn, a_session_is_drawn);
	suite_add_tcase(suite, drawn);
	return close_run(suite);
}
