/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_DIRECTIONS_H
#define RESTPOINT_ESTIMATE_DIRECTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "estimate/fit.h"

/* Directions in the space of the constants that are not determined, each constant divided by the
 * deviation of its prior. A product of powers of constants is a direction: that in which its
 * logarithm grows. A restitution stands in it as what is lost, 1 - e. Internal to src/estimate. */

struct directions {
	const struct fit_result *result;
	bool among[CONSTANT_COUNT]; /* not determined each */
	double covariance[CONSTANT_COUNT][CONSTANT_COUNT];
	double slope[CONSTANT_COUNT]; /* of the logarithm of value, or of loss, by the coordinate */
	size_t told;
	double basis[CONSTANT_COUNT][CONSTANT_COUNT]; /* of what is told, orthonormal */
};

/* From a result whose constants, centre and covariance are there; nothing is told yet. */
void directions_start(const struct fit_result *result, struct directions *known);

/* Scalar product, and variance of the coordinate along a direction times its squared length. */
double directions_dot(const double a[CONSTANT_COUNT], const double b[CONSTANT_COUNT]);
double directions_variance(const struct directions *known, const double direction[CONSTANT_COUNT]);

/* The direction in which a product of powers grows. */
void directions_of(const struct directions *known, const double exponents[CONSTANT_COUNT],
                   double direction[CONSTANT_COUNT]);

/* Standard deviation of a product of powers, as a share of what the priors give it. */
double directions_share(const struct directions *known, const double exponents[CONSTANT_COUNT]);

/* The length of what a direction adds to those told, as a share of its own; rest: what it adds. */
double directions_new_part(const struct directions *known, const double direction[CONSTANT_COUNT],
                           double rest[CONSTANT_COUNT]);

/* Eigenvector of the smallest or largest eigenvalue of a symmetric matrix, which is lost. False
 * when memory is out. */
bool directions_extreme(double matrix[CONSTANT_COUNT][CONSTANT_COUNT], bool largest,
                        double direction[CONSTANT_COUNT]);

/* The direction known best among those at right angles to what is told. False when memory
 * is out. */
bool directions_best(const struct directions *known, double direction[CONSTANT_COUNT]);

#endif
