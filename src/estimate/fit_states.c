/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_states.h"

#include <math.h>
#include <string.h>

#include "estimate/coverage.h"

#define LEARNED_ENOUGH 0.5
#define WEAK_ABOVE 0.10
#define LIMIT_NEAR 0.1

static double within_limits(enum constant_id id, double value)
{
	const struct constant_prior *prior = constant_prior(id);

	return fmin(prior->highest, fmax(prior->lowest, value));
}

static struct interval covered_interval(enum constant_id id, double mean, double deviation,
                                        double coverage)
{
	struct interval interval = {.value = within_limits(id, constant_from_scale(id, mean))};

	interval.standard_error = constant_scale_slope(id, interval.value) * deviation;
	interval.low95 = within_limits(id, constant_from_scale(id, mean - coverage * deviation));
	interval.high95 = within_limits(id, constant_from_scale(id, mean + coverage * deviation));
	return interval;
}

struct interval fit_states_interval(enum constant_id id, double mean, double deviation)
{
	return covered_interval(id, mean, deviation, coverage_factor(HUGE_VAL));
}

static bool near_limit(enum constant_id id, double mean, double deviation)
{
	const struct constant_prior *prior = constant_prior(id);

	if (mean < constant_to_scale(id, prior->lowest) + LIMIT_NEAR * deviation)
		return true;
	return prior->highest < 1.0 &&
	       mean > constant_to_scale(id, prior->highest) - LIMIT_NEAR * deviation;
}

static bool is_cloth(enum constant_id id)
{
	return id == SLIDING_FRICTION || id == ROLLING_RESISTANCE || id == SPIN_FRICTION;
}

static void fill_constant(struct fit_result *result, enum constant_id id)
{
	const struct constant_prior *prior = constant_prior(id);
	struct estimate *estimate = &result->constants[id];
	double deviation = sqrt(result->covariance[id][id]);
	struct interval found = covered_interval(id, result->mode[id], deviation, result->coverage);

	*estimate = (struct estimate){.best = found, .has_interval = true, .has_learned = true};
	estimate->learned = 1.0 - deviation / prior->spread;
	if (near_limit(id, result->mode[id], deviation))
		estimate->state = KNOWLEDGE_AT_LIMIT;
	else if (estimate->learned < LEARNED_ENOUGH)
		estimate->state = KNOWLEDGE_NOT_DETERMINED;
	else if (found.standard_error > WEAK_ABOVE * found.value)
		estimate->state = KNOWLEDGE_WEAK;
	else
		estimate->state = KNOWLEDGE_DETERMINED;
	if (!result->has_clock && is_cloth(id))
		estimate->state = KNOWLEDGE_NOT_DETERMINED;
	if (estimate->state != KNOWLEDGE_NOT_DETERMINED)
		return;
	estimate->has_posterior = true;
	estimate->posterior = found;
	estimate->best = fit_states_interval(id, constant_to_scale(id, prior->centre), prior->spread);
}

/* Variance of log a - log b, or log a + log b, under a covariance of the logarithms. */
static double combined_variance(double a, double b, double both, bool product)
{
	return a + b + (product ? 2.0 : -2.0) * both;
}

/* A ratio or product that is known, of two friction constants neither of which is. */
static bool combination_known(const struct fit_result *result, enum constant_id first,
                              enum constant_id second, bool product,
                              struct fit_combination *combination)
{
	double prior_variance = combined_variance(constant_prior(first)->spread * constant_prior(first)->spread,
	                                          constant_prior(second)->spread * constant_prior(second)->spread,
	                                          0.0, product);
	double variance = combined_variance(result->covariance[first][first],
	                                    result->covariance[second][second],
	                                    result->covariance[first][second], product);
	double deviation = sqrt(fmax(0.0, variance));
	double log_value = result->mode[first] + (product ? 1.0 : -1.0) * result->mode[second];

	*combination = (struct fit_combination){.first = first, .second = second, .product = product};
	combination->interval =
	    (struct interval){.value = exp(log_value),
	                      .standard_error = exp(log_value) * deviation,
	                      .low95 = exp(log_value - result->coverage * deviation),
	                      .high95 = exp(log_value + result->coverage * deviation)};
	return deviation <= (1.0 - LEARNED_ENOUGH) * sqrt(prior_variance) &&
	       deviation < 0.7 * sqrt(fmin(result->covariance[first][first],
	                                   result->covariance[second][second]));
}

static void fill_combinations(struct fit_result *result)
{
	for (int i = 0; i < CONSTANT_COUNT; i++)
		for (int k = i + 1; k < CONSTANT_COUNT; k++) {
			bool logs = constant_prior((enum constant_id)i)->scale == SCALE_LOG &&
			            constant_prior((enum constant_id)k)->scale == SCALE_LOG;
			bool unknown = result->constants[i].state == KNOWLEDGE_NOT_DETERMINED &&
			               result->constants[k].state == KNOWLEDGE_NOT_DETERMINED;

			for (int product = 0; product < 2 && logs && unknown; product++) {
				struct fit_combination found;

				if (combination_known(result, (enum constant_id)i,
				                      (enum constant_id)k, product == 1, &found) &&
				    result->combination_count < CONSTANT_COUNT)
					result->combinations[result->combination_count++] = found;
			}
		}
}

void fit_states_fill(struct fit_result *result, const double *x, const double *covariance,
                     size_t size)
{
	double excess = result->chi_square / result->degrees_of_freedom;
	double factor;

	result->scaled = result->lack_of_fit_p < FIT_SCALE_BELOW && excess > 1.0;
	factor = result->scaled ? excess : 1.0;
	result->coverage = coverage_factor(result->scaled ? result->degrees_of_freedom : HUGE_VAL);
	for (size_t i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);

		result->mode[i] = constant_to_scale((enum constant_id)i, prior->centre) +
		                  prior->spread * x[i];
		for (size_t k = 0; k < CONSTANT_COUNT; k++)
			result->covariance[i][k] = factor * covariance[i * size + k] *
			                           prior->spread *
			                           constant_prior((enum constant_id)k)->spread;
	}
	for (int id = 0; id < CONSTANT_COUNT; id++)
		fill_constant(result, (enum constant_id)id);
	fill_combinations(result);
}
