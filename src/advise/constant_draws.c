/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/constant_draws.h"

#include <math.h>
#include <string.h>

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

/* Number of a constant in the profile's correlation, or its count. */
static size_t place_of(const struct profile *profile, int id)
{
	const char *name = constant_prior((enum constant_id)id)->name;
	size_t i = 0;

	while (i < profile->correlation_count && strcmp(profile->correlation_order[i], name) != 0)
		i++;
	return i;
}

static double correlation_of(const struct profile *profile, int a, int b)
{
	size_t row = place_of(profile, a), column = place_of(profile, b);

	if (a == b)
		return 1.0;
	if (row >= profile->correlation_count || column >= profile->correlation_count)
		return 0.0;
	return profile->correlation[row * profile->correlation_count + column];
}

/* Cholesky's factor of a covariance. A direction without spread, or one that rounding made negative,
 * has none. */
static void factorise(double matrix[CONSTANT_COUNT][CONSTANT_COUNT])
{
	for (int j = 0; j < CONSTANT_COUNT; j++) {
		double pivot;

		for (int k = 0; k < j; k++)
			matrix[j][j] -= matrix[j][k] * matrix[j][k];
		pivot = sqrt(fmax(0.0, matrix[j][j]));
		matrix[j][j] = pivot;
		for (int i = j + 1; i < CONSTANT_COUNT; i++) {
			for (int k = 0; k < j; k++)
				matrix[i][j] -= matrix[i][k] * matrix[j][k];
			matrix[i][j] = pivot > 0.0 ? matrix[i][j] / pivot : 0.0;
		}
	}
	for (int i = 0; i < CONSTANT_COUNT; i++)
		for (int j = i + 1; j < CONSTANT_COUNT; j++)
			matrix[i][j] = 0.0;
}

struct constant_draws constant_draws_profile(const struct profile *profile)
{
	struct constant_draws draws = {.middle = constant_draws_middle(profile)};
	double spread[CONSTANT_COUNT];

	for (int i = 0; i < CONSTANT_COUNT; i++)
		spread[i] = constant_draws_spread((enum constant_id)i, &profile->constants[i]);
	for (int i = 0; i < CONSTANT_COUNT; i++)
		for (int j = 0; j < CONSTANT_COUNT; j++)
			draws.factor[i][j] = spread[i] * spread[j] * correlation_of(profile, i, j);
	factorise(draws.factor);
	return draws;
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
