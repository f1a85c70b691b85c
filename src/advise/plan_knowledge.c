/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_knowledge.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#define INSIDE 1e-6         /* of the limits, standardised: the model has no slope beyond */
#define HELD_DEVIATION 1e-4 /* standardised: of a constant that is held */
#define LOGIT_ROOM 1e-4     /* of a restitution below 1 */
#define TRIES 100           /* draws until one lies within the limits */

void plan_knowledge_none(struct plan_knowledge *known)
{
	memset(known, 0, sizeof *known);
	for (int i = 0; i < CONSTANT_COUNT; i++)
		known->covariance[i][i] = 1.0;
}

static bool is_cloth(enum constant_id id)
{
	return id == SLIDING_FRICTION || id == ROLLING_RESISTANCE || id == SPIN_FRICTION;
}

/* Mean and deviation of one constant, standardised. What a session without a clock narrowed of a
 * cloth friction is no knowledge (physics.md 7). */
static void take_one(enum constant_id id, const struct estimate *estimate, double *mean,
                     double *deviation)
{
	const struct constant_prior *prior = constant_prior(id);
	bool narrowed = estimate->has_posterior && !is_cloth(id);
	const struct interval *interval = narrowed ? &estimate->posterior : &estimate->best;
	double highest = fmin(prior->highest, 1.0 - LOGIT_ROOM);
	double value = fmin(highest, fmax(prior->lowest, interval->value));

	*mean = prior_coordinate(id, value);
	*deviation = HELD_DEVIATION;
	if (estimate->has_interval || narrowed)
		*deviation =
		    fmax(HELD_DEVIATION, interval->standard_error /
		                             constant_scale_slope(id, value) / prior->spread);
}

/* Place of a constant in the order of the correlations; -1 where it has none. */
static int place_in_order(const struct profile *profile, enum constant_id id)
{
	for (size_t i = 0; i < profile->correlation_count; i++)
		if (strcmp(profile->correlation_order[i], constant_prior(id)->name) == 0)
			return (int)i;
	return -1;
}

static double correlation(const struct profile *profile, int i, int k)
{
	int row = place_in_order(profile, (enum constant_id)i);
	int column = place_in_order(profile, (enum constant_id)k);

	if (i == k)
		return 1.0;
	if (row < 0 || column < 0)
		return 0.0;
	return profile->correlation[(size_t)row * profile->correlation_count + (size_t)column];
}

static bool is_covariance(double covariance[CONSTANT_COUNT][CONSTANT_COUNT])
{
	double factor[CONSTANT_COUNT][CONSTANT_COUNT];
	gsl_matrix_view matrix = gsl_matrix_view_array(factor[0], CONSTANT_COUNT, CONSTANT_COUNT);

	gsl_set_error_handler_off();
	memcpy(factor, covariance, sizeof factor);
	return gsl_linalg_cholesky_decomp1(&matrix.matrix) == 0;
}

bool plan_knowledge_take(const struct profile *profile, struct plan_knowledge *known)
{
	double deviation[CONSTANT_COUNT];

	memset(known, 0, sizeof *known);
	for (int i = 0; i < CONSTANT_COUNT; i++)
		take_one((enum constant_id)i, &profile->constants[i], &known->centre[i],
		         &deviation[i]);
	for (int i = 0; i < CONSTANT_COUNT; i++)
		for (int k = 0; k < CONSTANT_COUNT; k++)
			known->covariance[i][k] =
			    correlation(profile, i, k) * deviation[i] * deviation[k];
	for (int i = SLIDING_FRICTION; i <= SPIN_FRICTION; i++)
		known->has_clock =
		    known->has_clock || profile->constants[i].state != KNOWLEDGE_NOT_DETERMINED;
	return is_covariance(known->covariance);
}

static bool is_inside(const double constants[CONSTANT_COUNT])
{
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);
		double low = prior_coordinate((enum constant_id)i, prior->lowest) + INSIDE;
		double high = prior->highest < 1.0
		                  ? prior_coordinate((enum constant_id)i, prior->highest) - INSIDE
		                  : HUGE_VAL;

		if (constants[i] < low || constants[i] > high)
			return false;
	}
	return true;
}

static void keep_inside(double constants[CONSTANT_COUNT])
{
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);
		double low = prior_coordinate((enum constant_id)i, prior->lowest) + INSIDE;

		constants[i] = fmax(low, constants[i]);
		if (prior->highest < 1.0)
			constants[i] =
			    fmin(prior_coordinate((enum constant_id)i, prior->highest) - INSIDE,
			         constants[i]);
	}
}

void plan_knowledge_draw(const struct plan_knowledge *known, struct random_stream *stream,
                         double constants[CONSTANT_COUNT])
{
	double factor[CONSTANT_COUNT][CONSTANT_COUNT], normal[CONSTANT_COUNT];
	gsl_matrix_view matrix = gsl_matrix_view_array(factor[0], CONSTANT_COUNT, CONSTANT_COUNT);

	memcpy(factor, known->covariance, sizeof factor);
	gsl_linalg_cholesky_decomp1(&matrix.matrix);
	for (int tries = 0; tries < TRIES; tries++) {
		for (int i = 0; i < CONSTANT_COUNT; i++) {
			normal[i] = random_normal(stream);
			constants[i] = known->centre[i];
			for (int k = 0; k <= i; k++)
				constants[i] += factor[i][k] * normal[k];
		}
		if (is_inside(constants))
			return;
	}
	keep_inside(constants);
}

bool plan_knowledge_precision(const struct plan_knowledge *known,
                              double precision[CONSTANT_COUNT][CONSTANT_COUNT])
{
	gsl_matrix_view matrix =
	    gsl_matrix_view_array(precision[0], CONSTANT_COUNT, CONSTANT_COUNT);

	gsl_set_error_handler_off();
	memcpy(precision, known->covariance, sizeof known->covariance);
	return gsl_linalg_cholesky_decomp1(&matrix.matrix) == 0 &&
	       gsl_linalg_cholesky_invert(&matrix.matrix) == 0;
}
