/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/constant_draws.h"

#include <math.h>

#define NORMAL_975 1.959963984540054 /* 97.5 % point of a standard normal */

struct constant_draws constant_draws_prior(void)
{
	struct constant_draws draws = {.middle = constants_centre()};

	for (int i = 0; i < CONSTANT_COUNT; i++)
		draws.factor[i][i] = constant_prior((enum constant_id)i)->spread;
	return draws;
}

struct constant_draws constant_draws_exact(const struct constants *constants)
{
	return (struct constant_draws){.middle = *constants};
}

/* An end at a hard limit tells only half of the interval. */
double constant_draws_spread(enum constant_id id, const struct estimate *estimate)
{
	const struct constant_prior *prior = constant_prior(id);
	const struct interval *interval =
	    estimate->has_posterior ? &estimate->posterior : &estimate->best;

	if (estimate->state == KNOWLEDGE_HELD ||
	    (!estimate->has_interval && !estimate->has_posterior))
		return estimate->state == KNOWLEDGE_NOT_DETERMINED ? prior->spread : 0.0;
	if (!(interval->low95 > 0.0 && interval->high95 > interval->low95) ||
	    (prior->scale == SCALE_LOGIT && interval->high95 >= 1.0))
		return interval->standard_error /
		       fmax(1e-12, constant_scale_slope(id, interval->value));
	return (constant_to_scale(id, interval->high95) - constant_to_scale(id, interval->low95)) /
	       (2.0 * NORMAL_975);
}

struct constants constant_draws_middle(const struct profile *profile)
{
	struct constants middle = profile_constants(profile);

	for (int i = 0; i < CONSTANT_COUNT; i++)
		if (profile->constants[i].has_posterior)
			middle.value[i] = profile->constants[i].posterior.value;
	return middle;
}

struct constants constant_draws_take(const struct constant_draws *draws,
                                     struct random_stream *stream)
{
	struct constants constants = draws->middle;
	double normal[CONSTANT_COUNT];

	for (int i = 0; i < CONSTANT_COUNT; i++)
		normal[i] = random_normal(stream);
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		enum constant_id id = (enum constant_id)i;
		const struct constant_prior *prior = constant_prior(id);
		double shift = 0.0, value = constants.value[i];

		for (int j = 0; j <= i; j++)
			shift += draws->factor[i][j] * normal[j];
		if (shift == 0.0 || (prior->scale == SCALE_LOGIT && value >= 1.0))
			continue;
		value = constant_from_scale(id, constant_to_scale(id, value) + shift);
		constants.value[i] = fmin(prior->highest, fmax(prior->lowest, value));
	}
	return constants;
}
