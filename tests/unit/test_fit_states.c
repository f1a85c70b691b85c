/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "estimate/fit_states.h"

/* What is known of each constant, from points and covariances made by hand, against formats.md 5
 * with the numbers of physics.md 8. A standardised unknown is 0 at the middle of the prior and 1 a
 * standard deviation of the prior above it, on the logarithm, or the logit of the restitutions. */

#define SIZE (CONSTANT_COUNT + 2) /* with two shared unknowns behind, which do not matter */

struct made {
	double x[SIZE];
	double covariance[SIZE * SIZE];
	struct fit_result result;
};

/* Every constant at the middle of its prior, known to `known` of the prior's deviation. */
static void make(struct made *made, double known)
{
	memset(made, 0, sizeof *made);
	for (int i = 0; i < SIZE; i++)
		made->covariance[i * SIZE + i] = known * known;
	made->result.chi_square = 40.0;
	made->result.degrees_of_freedom = 41.5;
	made->result.chi_square_p = 0.54;
	made->result.has_clock = true;
}

static void fill(struct made *made)
{
	fit_states_fill(&made->result, made->x, made->covariance, SIZE);
}

/* physics.md 8, by hand. */
static const struct {
	double centre, spread;
	bool logit;
} priors[CONSTANT_COUNT] = {
    {0.20, 0.470004, false}, {0.010, 0.470004, false}, {0.010, 0.693147, false}, {0.93, 0.6, true},
    {0.17, 0.470004, false}, {0.95, 0.5, true},        {0.06, 0.587787, false}};

static double from_scale(int id, double scaled)
{
	return priors[id].logit ? 1.0 / (1.0 + exp(-scaled)) : exp(scaled);
}

static double to_scale(int id, double value)
{
	return priors[id].logit ? log(value / (1.0 - value)) : log(value);
}

/* Value, standard error = value x sd of the logarithm, 2.5 % and 97.5 % points, learned. */
START_TEST(numbers_follow_from_mode_and_deviation)
{
	int misses = 0;

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		struct made made;
		const struct estimate *estimate = &made.result.constants[id];
		double scaled, deviation, value;

		make(&made, 0.11);
		made.x[id] = 0.37;
		fill(&made);
		scaled = to_scale(id, priors[id].centre) + 0.37 * priors[id].spread;
		deviation = 0.11 * priors[id].spread;
		value = from_scale(id, scaled);
		misses +=
		    close_miss("numbers", id, "mode", scaled, made.result.centre[id], 1e-6) +
		    close_miss("numbers", id, "covariance", deviation * deviation,
		               made.result.covariance[id][id], 1e-7) +
		    close_miss("numbers", id, "value", value, estimate->best.value, 1e-6) +
		    close_miss("numbers", id, "error",
		               deviation * value * (priors[id].logit ? 1.0 - value : 1.0),
		               estimate->best.standard_error, 1e-6) +
		    close_miss("numbers", id, "low", from_scale(id, scaled - 1.959964 * deviation),
		               estimate->best.low95, 1e-6) +
		    close_miss("numbers", id, "high", from_scale(id, scaled + 1.959964 * deviation),
		               estimate->best.high95, 1e-6) +
		    close_miss("numbers", id, "learned", 0.89, estimate->learned, 1e-12) +
		    close_false("numbers", id, "has all",
		                estimate->has_interval && estimate->has_learned);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* learned < 0.5: not determined; then sd of the logarithm above 0.10: weak; else determined. Just
 * on both sides of each border. */
START_TEST(states_change_where_the_contract_says)
{
	const double log_weak = 0.10 / 0.470004; /* of the prior's deviation of sliding friction */
	const struct {
		int id;
		double known;
		enum knowledge state;
	} cases[] = {
	    {SLIDING_FRICTION, 0.501, KNOWLEDGE_NOT_DETERMINED},
	    {SLIDING_FRICTION, 0.499, KNOWLEDGE_WEAK},
	    {SLIDING_FRICTION, log_weak * 1.001, KNOWLEDGE_WEAK},
	    {SLIDING_FRICTION, log_weak * 0.999, KNOWLEDGE_DETERMINED},
	    {SPIN_FRICTION, 0.10 / 0.693147 * 1.001, KNOWLEDGE_WEAK},
	    {SPIN_FRICTION, 0.10 / 0.693147 * 0.999, KNOWLEDGE_DETERMINED},
	    /* A restitution's logarithm spreads by (1 - e) of its logit: never weak. */
	    {CUSHION_RESTITUTION, 0.501, KNOWLEDGE_NOT_DETERMINED},
	    {CUSHION_RESTITUTION, 0.499, KNOWLEDGE_DETERMINED},
	    {BALL_RESTITUTION, 0.499, KNOWLEDGE_DETERMINED},
	    {BALL_FRICTION, 0.501, KNOWLEDGE_NOT_DETERMINED},
	    {BALL_FRICTION, 0.499, KNOWLEDGE_WEAK},
	};
	int misses = 0;

	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct made made;

		make(&made, cases[i].known);
		fill(&made);
		if (made.result.constants[cases[i].id].state == cases[i].state)
			continue;
		fprintf(stderr, "state %zu: %s\n", i,
		        knowledge_name(made.result.constants[cases[i].id].state));
		misses++;
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Within 0.1 sd of a hard limit, before all else; a value beyond is shown at the limit. */
START_TEST(limits_come_first)
{
	const double low = (log(0.03) - log(0.20)) / 0.470004;  /* of sliding friction */
	const double high = (log(0.25) - log(0.06)) / 0.587787; /* of ball friction */
	struct made made;

	make(&made, 0.2);
	made.x[SLIDING_FRICTION] = low + 0.019;
	made.x[BALL_FRICTION] = high - 0.019;
	fill(&made);
	ck_assert_int_eq(made.result.constants[SLIDING_FRICTION].state, KNOWLEDGE_AT_LIMIT);
	ck_assert_int_eq(made.result.constants[BALL_FRICTION].state, KNOWLEDGE_AT_LIMIT);
	make(&made, 0.2);
	made.x[SLIDING_FRICTION] = low + 0.021;
	made.x[BALL_FRICTION] = high - 0.021;
	fill(&made);
	ck_assert_int_ne(made.result.constants[SLIDING_FRICTION].state, KNOWLEDGE_AT_LIMIT);
	ck_assert_int_ne(made.result.constants[BALL_FRICTION].state, KNOWLEDGE_AT_LIMIT);
	make(&made, 0.8); /* little learned, but at the limit */
	made.x[SLIDING_FRICTION] = low - 0.3;
	fill(&made);
	ck_assert_int_eq(made.result.constants[SLIDING_FRICTION].state, KNOWLEDGE_AT_LIMIT);
	ck_assert_double_eq(made.result.constants[SLIDING_FRICTION].best.value, 0.03);
	ck_assert_double_eq(made.result.constants[SLIDING_FRICTION].best.low95, 0.03);
}
END_TEST

/* Not determined: value, error and interval describe the prior, the narrowed ones stand aside. */
START_TEST(what_is_not_determined_shows_its_prior)
{
	struct made made;
	const struct estimate *estimate = &made.result.constants[CUSHION_FRICTION];

	make(&made, 0.7);
	made.x[CUSHION_FRICTION] = -0.83;
	fill(&made);
	ck_assert_int_eq(estimate->state, KNOWLEDGE_NOT_DETERMINED);
	ck_assert_double_eq_tol(estimate->best.value, 0.17, 1e-12);
	ck_assert_double_eq_tol(estimate->best.standard_error, 0.17 * 0.470004, 1e-6);
	ck_assert_double_eq_tol(estimate->best.low95, 0.17 * exp(-1.959964 * 0.470004), 1e-6);
	ck_assert_double_eq_tol(estimate->best.high95, 0.17 * exp(1.959964 * 0.470004), 1e-6);
	ck_assert(estimate->has_posterior);
	ck_assert_double_eq_tol(estimate->posterior.value, 0.17 * exp(-0.83 * 0.470004), 1e-6);
	ck_assert_double_eq_tol(estimate->posterior.high95,
	                        0.17 * exp((-0.83 + 1.959964 * 0.7) * 0.470004), 1e-6);
	ck_assert_double_eq_tol(estimate->learned, 0.3, 1e-12);
}
END_TEST

/* formats.md 5: without a clock the three cloth frictions are not determined by rule. */
START_TEST(without_a_clock_no_cloth_friction_is_determined)
{
	struct made made;

	make(&made, 0.05);
	made.result.has_clock = false;
	fill(&made);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		ck_assert_int_eq(made.result.constants[id].state, id <= SPIN_FRICTION
		                                                      ? KNOWLEDGE_NOT_DETERMINED
		                                                      : KNOWLEDGE_DETERMINED);
	ck_assert(made.result.constants[ROLLING_RESISTANCE].has_posterior);
}
END_TEST

static void set_covariance(struct made *made, int a, int b, double correlation)
{
	double both =
	    correlation * sqrt(made->covariance[a * SIZE + a] * made->covariance[b * SIZE + b]);

	made->covariance[a * SIZE + b] = made->covariance[b * SIZE + a] = both;
}

/* physics.md 7: positions alone tell the ratios of the cloth frictions. Of two numbers that are not
 * determined and rise and fall together, the ratio is told, with the variance a + b - 2 ab of the
 * logarithms; of two that rise as the other falls, the product. */
START_TEST(ratios_and_products_are_told)
{
	struct made made;
	const struct fit_combination *found = made.result.combinations;
	double s = 0.6 * 0.470004, r = 0.6 * 0.470004, variance;

	make(&made, 0.6);
	made.result.has_clock = false;
	made.x[SLIDING_FRICTION] = 0.2;
	set_covariance(&made, SLIDING_FRICTION, ROLLING_RESISTANCE, 0.97);
	set_covariance(&made, CUSHION_FRICTION, BALL_FRICTION, -0.97);
	fill(&made);
	ck_assert_uint_eq(made.result.combination_count, 2);
	ck_assert_int_eq(found[0].first, SLIDING_FRICTION);
	ck_assert_int_eq(found[0].second, ROLLING_RESISTANCE);
	ck_assert(!found[0].product);
	variance = s * s + r * r - 2.0 * 0.97 * s * r;
	ck_assert_double_eq_tol(found[0].interval.value, 20.0 * exp(0.2 * 0.470004), 1e-4);
	ck_assert_double_eq_tol(found[0].interval.standard_error / found[0].interval.value,
	                        sqrt(variance), 1e-6);
	ck_assert_double_eq_tol(found[0].interval.high95 / found[0].interval.value,
	                        exp(1.959964 * sqrt(variance)), 1e-6);
	ck_assert(found[1].product);
	ck_assert_int_eq(found[1].first, CUSHION_FRICTION);
	ck_assert_int_eq(found[1].second, BALL_FRICTION);
	ck_assert_double_eq_tol(found[1].interval.value, 0.17 * 0.06, 1e-6);
	/* Nothing of independent numbers, nothing of known ones. */
	make(&made, 0.6);
	fill(&made);
	ck_assert_uint_eq(made.result.combination_count, 0);
	make(&made, 0.1);
	set_covariance(&made, CUSHION_FRICTION, BALL_FRICTION, 0.97);
	fill(&made);
	ck_assert_uint_eq(made.result.combination_count, 0);
}
END_TEST

/* formats.md 5: errors are multiplied by the root of chi-square over the degrees of freedom where
 * the fit is too bad to be chance (FIT_SCALE_BELOW), and never made smaller. */
START_TEST(bad_fits_enlarge_errors)
{
	struct made made;
	double factor = sqrt(90.0 / 40.0);

	make(&made, 0.1);
	made.result.chi_square = 90.0;
	made.result.degrees_of_freedom = 40.0;
	made.result.chi_square_p = 0.009;
	fill(&made);
	ck_assert(made.result.scaled);
	ck_assert_double_eq_tol(
	    sqrt(made.result.covariance[ROLLING_RESISTANCE][ROLLING_RESISTANCE]),
	    factor * 0.1 * 0.470004, 1e-6);
	/* Student's 97.5 % point for 40 degrees of freedom, from any table. */
	ck_assert_double_eq_tol(made.result.constants[ROLLING_RESISTANCE].best.high95,
	                        0.010 * exp(2.02108 * factor * 0.1 * 0.470004), 1e-8);
	ck_assert_double_eq_tol(made.result.constants[ROLLING_RESISTANCE].best.low95,
	                        0.010 * exp(-2.02108 * factor * 0.1 * 0.470004), 1e-8);
	make(&made, 0.1);
	made.result.chi_square = 60.0;
	made.result.degrees_of_freedom = 40.0;
	made.result.chi_square_p = 0.011;
	fill(&made);
	ck_assert(!made.result.scaled);
	ck_assert_double_eq_tol(
	    sqrt(made.result.covariance[ROLLING_RESISTANCE][ROLLING_RESISTANCE]), 0.1 * 0.470004,
	    1e-6);
	make(&made, 0.1);
	made.result.chi_square = 12.0;
	made.result.degrees_of_freedom = 40.0;
	made.result.chi_square_p = 0.99999;
	fill(&made);
	ck_assert(!made.result.scaled);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("states of the constants");
	TCase *states = tcase_create("states");

	tcase_add_test(states, numbers_follow_from_mode_and_deviation);
	tcase_add_test(states, states_change_where_the_contract_says);
	tcase_add_test(states, limits_come_first);
	tcase_add_test(states, what_is_not_determined_shows_its_prior);
	tcase_add_test(states, without_a_clock_no_cloth_friction_is_determined);
	tcase_add_test(states, ratios_and_products_are_told);
	tcase_add_test(states, bad_fits_enlarge_errors);
	suite_add_tcase(suite, states);
	return close_run(suite);
}
