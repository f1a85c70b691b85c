/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/directions.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_eigen.h>

void directions_start(const struct fit_result *result, struct directions *known)
{
	*known = (struct directions){.result = result};
	for (size_t i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);

		known->among[i] = result->constants[i].state == KNOWLEDGE_NOT_DETERMINED;
		known->slope[i] = prior->spread;
		if (prior->scale == SCALE_LOGIT)
			known->slope[i] *=
			    -constant_from_scale((enum constant_id)i, result->centre[i]);
		for (size_t k = 0; k < CONSTANT_COUNT; k++)
			known->covariance[i][k] = result->covariance[i][k] / prior->spread /
			                          constant_prior((enum constant_id)k)->spread;
	}
}

double directions_dot(const double a[CONSTANT_COUNT], const double b[CONSTANT_COUNT])
{
	double sum = 0.0;

	for (int i = 0; i < CONSTANT_COUNT; i++)
		sum += a[i] * b[i];
	return sum;
}

double directions_variance(const struct directions *known, const double direction[CONSTANT_COUNT])
{
	double sum = 0.0;

	for (int i = 0; i < CONSTANT_COUNT; i++)
		sum += direction[i] * directions_dot(known->covariance[i], direction);
	return fmax(0.0, sum);
}

void directions_of(const struct directions *known, const double exponents[CONSTANT_COUNT],
                   double direction[CONSTANT_COUNT])
{
	for (int i = 0; i < CONSTANT_COUNT; i++)
		direction[i] = exponents[i] * known->slope[i];
}

double directions_share(const struct directions *known, const double exponents[CONSTANT_COUNT])
{
	double direction[CONSTANT_COUNT];

	directions_of(known, exponents, direction);
	return sqrt(directions_variance(known, direction) / directions_dot(direction, direction));
}

double directions_new_part(const struct directions *known, const double direction[CONSTANT_COUNT],
                           double rest[CONSTANT_COUNT])
{
	memcpy(rest, direction, CONSTANT_COUNT * sizeof *rest);
	for (size_t k = 0; k < known->told; k++) {
		double along = directions_dot(rest, known->basis[k]);

		for (int i = 0; i < CONSTANT_COUNT; i++)
			rest[i] -= along * known->basis[k][i];
	}
	return sqrt(directions_dot(rest, rest) / directions_dot(direction, direction));
}

bool directions_extreme(double matrix[CONSTANT_COUNT][CONSTANT_COUNT], bool largest,
                        double direction[CONSTANT_COUNT])
{
	gsl_matrix_view view = gsl_matrix_view_array(matrix[0], CONSTANT_COUNT, CONSTANT_COUNT);
	gsl_eigen_symmv_workspace *space = gsl_eigen_symmv_alloc(CONSTANT_COUNT);
	gsl_matrix *vectors = gsl_matrix_alloc(CONSTANT_COUNT, CONSTANT_COUNT);
	double values[CONSTANT_COUNT];
	gsl_vector_view value_view = gsl_vector_view_array(values, CONSTANT_COUNT);
	bool done = space != NULL && vectors != NULL;
	size_t best = 0;

	if (done) {
		gsl_eigen_symmv(&view.matrix, &value_view.vector, vectors, space);
		for (size_t k = 1; k < CONSTANT_COUNT; k++)
			if (largest ? values[k] > values[best] : values[k] < values[best])
				best = k;
		for (size_t i = 0; i < CONSTANT_COUNT; i++)
			direction[i] = gsl_matrix_get(vectors, i, best);
	}
	if (space != NULL)
		gsl_eigen_symmv_free(space);
	if (vectors != NULL)
		gsl_matrix_free(vectors);
	return done;
}

bool directions_best(const struct directions *known, double direction[CONSTANT_COUNT])
{
	const double far = 1e3; /* no variance of a fit comes near */
	double inside[CONSTANT_COUNT][CONSTANT_COUNT] = {{0.0}};
	double matrix[CONSTANT_COUNT][CONSTANT_COUNT];

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		double unit[CONSTANT_COUNT] = {0.0};

		unit[i] = 1.0;
		if (known->among[i])
			directions_new_part(known, unit, inside[i]);
	}
	for (int i = 0; i < CONSTANT_COUNT; i++)
		for (int k = 0; k < CONSTANT_COUNT; k++) {
			matrix[i][k] = far * ((i == k ? 1.0 : 0.0) - inside[i][k]);
			for (int j = 0; j < CONSTANT_COUNT; j++)
				matrix[i][k] +=
				    inside[i][j] * directions_dot(known->covariance[j], inside[k]);
		}
	return directions_extreme(matrix, false, direction);
}
