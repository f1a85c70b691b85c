/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "estimate/combinations.h"
#include "report/fit_words.h"

/* What is known only together, from covariances made by hand: every direction has the variance 0.81
 * of the standardised constants, but for one or two that have 0.0025, so that a product of powers
 * along such a direction has a standard deviation of 0.05 times the length of that direction. The
 * deviations of the priors are ln 1.6 = 0.470004, ln 2 = 0.693147 and 0.6 on the logit of cushion
 * restitution (physics.md 8). */

#define OPEN 0.81
#define KNOWN 0.0025

static const double spread[CONSTANT_COUNT] = {0.470004, 0.470004, 0.693147, 0.6,
                                              0.470004, 0.5,      0.587787};

/* Every constant at the middle of its prior and not determined, in all directions alike. */
static struct fit_result make(void)
{
	struct fit_result result = {.has_clock = true};

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);

		result.constants[i].state = KNOWLEDGE_NOT_DETERMINED;
		result.centre[i] = constant_to_scale((enum constant_id)i, prior->centre);
		result.covariance[i][i] = OPEN * spread[i] * spread[i];
	}
	return result;
}

/* Changes the variance along a standardised direction. */
static void set_variance(struct fit_result *result, const double direction[CONSTANT_COUNT],
                         double from, double to)
{
	double square = 0.0;

	for (int i = 0; i < CONSTANT_COUNT; i++)
		square += direction[i] * direction[i];
	for (int i = 0; i < CONSTANT_COUNT; i++)
		for (int k = 0; k < CONSTANT_COUNT; k++)
			result->covariance[i][k] += (to - from) * direction[i] * direction[k] /
			                            square * spread[i] * spread[k];
}

static int count_parts(const struct fit_combination *combination)
{
	int parts = 0;

	for (int i = 0; i < CONSTANT_COUNT; i++)
		parts += combination->exponents[i] != 0.0;
	return parts;
}

static void check_words(const struct fit_result *result, const char *wanted)
{
	struct text words = {0};

	fit_words_combination(&result->combinations[0], result->has_clock, &words);
	ck_assert_msg(strncmp(text_bytes(&words), wanted, strlen(wanted)) == 0, "%s",
	              text_bytes(&words));
	text_free(&words);
}

START_TEST(nothing_is_told_where_all_directions_are_alike)
{
	struct fit_result result = make();

	ck_assert(combinations_find(&result));
	ck_assert_uint_eq(result.combination_count, 0);
	ck_assert_uint_eq(result.unknown_count, 0);
}
END_TEST

/* sliding^1 x cushion friction^2: the direction (1, 2) x 0.470004, of length 1.050961; the plain
 * product would have 0.9 x 0.0025 + 0.1 x 0.81 of the variance, 5.8 times the deviation. */
START_TEST(a_square_is_told_where_the_plain_product_is_worse)
{
	const double direction[CONSTANT_COUNT] = {1, 0, 0, 0, 2, 0, 0};
	struct fit_result result = make();
	const struct fit_combination *found = &result.combinations[0];

	set_variance(&result, direction, OPEN, KNOWN);
	ck_assert(combinations_find(&result));
	ck_assert_uint_eq(result.combination_count, 1);
	ck_assert(found->power);
	ck_assert_int_eq(count_parts(found), 2);
	ck_assert_double_eq(found->exponents[SLIDING_FRICTION], 1.0);
	ck_assert_double_eq(found->exponents[CUSHION_FRICTION], 2.0);
	ck_assert_double_eq_tol(found->interval.value, 0.20 * 0.17 * 0.17, 1e-9);
	ck_assert_double_eq_tol(found->interval.standard_error / found->interval.value,
	                        0.05 * 1.050961, 1e-6);
	check_words(&result, "These shots give sliding friction x cushion friction^2 = 0.00578 ");
}
END_TEST

/* Exponents a little beside 1 : -1 are told as a plain ratio: along (1, -0.9) the ratio has the
 * variance c 0.0025 + (1 - c) 0.81 with c = 1.9^2 / (2 x 1.81) = 0.997238, a deviation of 0.0687,
 * within twice the best, 0.05. Its length is 0.470004 x sqrt 2 = 0.664686. */
START_TEST(nearly_plain_is_told_plainly)
{
	const double direction[CONSTANT_COUNT] = {1, 0, 0, 0, -0.9, 0, 0};
	struct fit_result result = make();
	const struct fit_combination *found = &result.combinations[0];

	set_variance(&result, direction, OPEN, KNOWN);
	ck_assert(combinations_find(&result));
	ck_assert_uint_eq(result.combination_count, 1);
	ck_assert(!found->power && !found->product);
	ck_assert_int_eq(found->first, SLIDING_FRICTION);
	ck_assert_int_eq(found->second, CUSHION_FRICTION);
	ck_assert_double_eq_tol(found->interval.standard_error / found->interval.value,
	                        sqrt(0.997238 * KNOWN + 0.002762 * OPEN) * 0.664686, 1e-5);
	check_words(&result, "These shots give sliding friction / cushion friction = 1.176 ");
}
END_TEST

/* sliding^0.6 x rolling / cushion friction^0.4, no two of which are known nearly as well: the best
 * pair, rolling^2 x sliding, has (0.6 + 2)^2 / (5 x 1.52) = 0.889 of its length along it, and 0.303
 * of the deviation of the priors is left of it, against 0.05. */
START_TEST(a_power_law_is_told_where_no_pair_does)
{
	const double direction[CONSTANT_COUNT] = {0.6, 1, 0, 0, -0.4, 0, 0};
	struct fit_result result = make();
	const struct fit_combination *found = &result.combinations[0];

	set_variance(&result, direction, OPEN, KNOWN);
	ck_assert(combinations_find(&result));
	ck_assert_uint_eq(result.combination_count, 1);
	ck_assert(found->power);
	ck_assert_int_eq(count_parts(found), 3);
	ck_assert_double_eq_tol(found->exponents[SLIDING_FRICTION], 0.6, 1e-12);
	ck_assert_double_eq_tol(found->exponents[ROLLING_RESISTANCE], 1.0, 1e-12);
	ck_assert_double_eq_tol(found->exponents[CUSHION_FRICTION], -0.4, 1e-12);
	ck_assert_double_eq_tol(found->interval.value, pow(0.20, 0.6) * 0.010 / pow(0.17, 0.4),
	                        1e-9);
	ck_assert_double_eq_tol(found->interval.standard_error / found->interval.value,
	                        0.05 * 0.470004 * sqrt(1.52), 1e-6);
	check_words(&result, "These shots give sliding friction^0.6 x rolling resistance / "
	                     "cushion friction^0.4 = ");
	ck_assert_uint_eq(result.unknown_count, 0); /* three constants, one combination */
}
END_TEST

/* A restitution stands with what is lost: d log(1 - e) = -e d logit e, so that one standard
 * deviation is -0.93 x 0.6 = -0.558 of it. */
START_TEST(a_restitution_is_told_by_its_loss)
{
	const double direction[CONSTANT_COUNT] = {0, 0, 0, -0.558, -0.470004, 0, 0};
	struct fit_result result = make();
	const struct fit_combination *found = &result.combinations[0];

	set_variance(&result, direction, OPEN, KNOWN);
	ck_assert(combinations_find(&result));
	ck_assert_uint_eq(result.combination_count, 1);
	ck_assert(!found->power && !found->product);
	ck_assert_double_eq_tol(found->interval.value, 0.07 / 0.17, 1e-9);
	ck_assert_double_eq_tol(found->interval.standard_error / found->interval.value,
	                        0.05 * sqrt(0.558 * 0.558 + 0.470004 * 0.470004), 1e-6);
	check_words(&result,
	            "These shots give (1 - cushion restitution) / cushion friction = 0.412 ");
}
END_TEST

/* Two ratios and one direction that is not known, without a clock: (1, 1, 1) of the logarithms. */
START_TEST(cloth_frictions_without_a_clock_have_a_common_factor)
{
	const double common[CONSTANT_COUNT] = {1 / 0.470004, 1 / 0.470004, 1 / 0.693147};
	struct fit_result result = make();
	struct text words = {0};

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		double unit[CONSTANT_COUNT] = {0.0};

		unit[i] = 1.0;
		if (i > SPIN_FRICTION)
			result.constants[i].state = KNOWLEDGE_DETERMINED;
		set_variance(&result, unit, OPEN, KNOWN);
	}
	set_variance(&result, common, KNOWN, OPEN);
	result.has_clock = false;
	ck_assert(combinations_find(&result));
	ck_assert_uint_eq(result.combination_count, 2);
	for (int c = 0; c < 2; c++) {
		const struct fit_combination *found = &result.combinations[c];
		double a = spread[found->first], b = spread[found->second];

		ck_assert(!found->power && !found->product);
		ck_assert_double_eq_tol(found->interval.standard_error / found->interval.value,
		                        0.05 * sqrt(a * a + b * b), 1e-6);
	}
	ck_assert_uint_eq(result.unknown_count, 1);
	for (int i = 0; i < CONSTANT_COUNT; i++)
		ck_assert_double_eq_tol(result.unknowns[0].change[i],
		                        (i <= SPIN_FRICTION ? 1.0 : 0.0), 1e-5);
	fit_words_unknown(&result.unknowns[0], false, &words);
	ck_assert_str_eq(
	    text_bytes(&words),
	    "These shots tell sliding friction, rolling resistance and spin friction only "
	    "up to a common factor: no time was measured.");
	text_free(&words);
}
END_TEST

/* Of a product that is known the ratio is not: a larger one goes with a smaller other. */
START_TEST(what_is_traded_is_told)
{
	const double direction[CONSTANT_COUNT] = {0, 0, 0, 0, 0.470004, 0, 0.587787};
	struct fit_result result = make();
	struct text words = {0};

	set_variance(&result, direction, OPEN, KNOWN);
	ck_assert(combinations_find(&result));
	ck_assert_uint_eq(result.combination_count, 1);
	ck_assert(result.combinations[0].product);
	ck_assert_uint_eq(result.unknown_count, 1);
	/* At right angles to (0.470, 0.588): (0.588, -0.470), times the deviations (1, -1). */
	ck_assert_double_eq_tol(result.unknowns[0].change[CUSHION_FRICTION], 1.0, 1e-5);
	ck_assert_double_eq_tol(result.unknowns[0].change[BALL_FRICTION], -1.0, 1e-5);
	fit_words_unknown(&result.unknowns[0], true, &words);
	ck_assert_str_eq(text_bytes(&words),
	                 "These shots do not tell a larger cushion friction with a smaller ball "
	                 "friction from the reverse.");
	text_free(&words);
}
END_TEST

/* With draws the interval is theirs: the logarithm of the ratio is log 20 + t with t even from -0.1
 * to 0.1, so that the 2.5 % and 97.5 % points are at -0.095 and 0.095 and the deviation is
 * 0.2 / sqrt 12; both constants share a factor that swings by 0.4. */
START_TEST(draws_give_the_interval)
{
	enum { DRAWS = 4001 };
	static double draws[DRAWS][CONSTANT_COUNT];
	const double direction[CONSTANT_COUNT] = {1, -1, 0, 0, 0, 0, 0};
	struct fit_result result = make();
	const struct interval *found = &result.combinations[0].interval;

	set_variance(&result, direction, OPEN, KNOWN);
	for (int k = 0; k < DRAWS; k++) {
		double t = -0.1 + 0.2 * k / (DRAWS - 1), shared = 0.4 * sin(7.0 * k);

		memcpy(draws[k], result.centre, sizeof draws[k]);
		draws[k][SLIDING_FRICTION] = log(0.2) + shared + 0.5 * t;
		draws[k][ROLLING_RESISTANCE] = log(0.01) + shared - 0.5 * t;
	}
	result.draws = draws;
	result.draw_count = DRAWS;
	ck_assert(combinations_find(&result));
	ck_assert_uint_eq(result.combination_count, 1);
	ck_assert_double_eq_tol(found->value, 20.0, 1e-9);
	ck_assert_double_eq_tol(found->low95, 20.0 * exp(-0.095), 1e-9);
	ck_assert_double_eq_tol(found->high95, 20.0 * exp(0.095), 1e-9);
	ck_assert_double_eq_tol(found->standard_error, 20.0 * 0.2 / sqrt(12.0), 1e-3);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("combinations");
	TCase *tests = tcase_create("by hand");

	tcase_add_test(tests, nothing_is_told_where_all_directions_are_alike);
	tcase_add_test(tests, a_square_is_told_where_the_plain_product_is_worse);
	tcase_add_test(tests, nearly_plain_is_told_plainly);
	tcase_add_test(tests, a_power_law_is_told_where_no_pair_does);
	tcase_add_test(tests, a_restitution_is_told_by_its_loss);
	tcase_add_test(tests, cloth_frictions_without_a_clock_have_a_common_factor);
	tcase_add_test(tests, what_is_traded_is_told);
	tcase_add_test(tests, draws_give_the_interval);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
