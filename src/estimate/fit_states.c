/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_states.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "estimate/combinations.h"
#include "estimate/coverage.h"
#include "estimate/drawn_constants.h"

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

/* Whether the best point, on its fitted scale, is at or past a limit. */
static bool near_limit(enum constant_id id, double best, double deviation)
{
	const struct constant_prior *prior = constant_prior(id);

	if (best < constant_to_scale(id, prior->lowest) + LIMIT_NEAR * deviation)
		return true;
	return prior->highest < 1.0 &&
	       best > constant_to_scale(id, prior->highest) - LIMIT_NEAR * deviation;
}

static bool is_cloth(enum constant_id id)
{
	return id == SLIDING_FRICTION || id == ROLLING_RESISTANCE || id == SPIN_FRICTION;
}

static double on_scale(enum constant_id id, double standardised)
{
	const struct constant_prior *prior = constant_prior(id);

	return constant_to_scale(id, prior->centre) + prior->spread * standardised;
}

/* x: of the best point, standardised. space: as many numbers as there are draws. */
static void fill_constant(struct fit_result *result, enum constant_id id, double x, double *space)
{
	const struct constant_prior *prior = constant_prior(id);
	struct estimate *estimate = &result->constants[id];
	double deviation = sqrt(result->covariance[id][id]);
	struct interval found =
	    result->draw_count > 0
	        ? drawn_constants_interval(result, id, space)
	        : covered_interval(id, result->centre[id], deviation, result->coverage);

	*estimate = (struct estimate){.best = found, .has_interval = true, .has_learned = true};
	estimate->learned = 1.0 - deviation / prior->spread;
	if (near_limit(id, on_scale(id, x), deviation))
		estimate->state = KNOWLEDGE_AT_LIMIT;
	else if (estimate->learned < FIT_LEARNED_ENOUGH)
		estimate->state = KNOWLEDGE_NOT_DETERMINED;
	else if (found.standard_error > FIT_WEAK_ABOVE * found.value)
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

/* By linear approximation at the best point. */
static void fill_linear(struct fit_result *result, const double *x, const double *covariance,
                        size_t size, double factor)
{
	for (size_t i = 0; i < CONSTANT_COUNT; i++) {
		double spread = constant_prior((enum constant_id)i)->spread;

		result->centre[i] = on_scale((enum constant_id)i, x[i]);
		for (size_t k = 0; k < CONSTANT_COUNT; k++)
			result->covariance[i][k] = factor * covariance[i * size + k] * spread *
			                           constant_prior((enum constant_id)k)->spread;
	}
}

bool fit_states_fill(struct fit_result *result, const double *x, const double *covariance,
                     size_t size)
{
	double excess = result->chi_square / result->degrees_of_freedom, factor;
	double *space = calloc(result->draw_count + 1, sizeof *space);

	result->scaled = result->chi_square_p < FIT_SCALE_BELOW && excess > 1.0;
	factor = result->scaled ? excess : 1.0;
	result->coverage = coverage_factor(result->scaled ? result->degrees_of_freedom : HUGE_VAL);
	if (result->draw_count == 0)
		fill_linear(result, x, covariance, size, factor);
	else if (space == NULL || !drawn_constants_finish(result, factor)) {
		free(space);
		return false;
	}
	for (int id = 0; id < CONSTANT_COUNT; id++)
		fill_constant(result, (enum constant_id)id, x[id], space);
	free(space);
	return combinations_find(result);
}
