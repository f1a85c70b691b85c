/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_JACOBIAN_H
#define RESTPOINT_ESTIMATE_JACOBIAN_H

#include <stdbool.h>
#include <stddef.h>

#include <gsl/gsl_matrix.h>
#include <gsl/gsl_vector.h>

/* What the Jacobian of a least-squares problem tells at one point: how many combinations of the
 * parameters the residuals depend on, how much a full step would gain, and the covariance. */
struct jacobian_analysis;

/* Room for count residuals and size parameters, 0 < size <= count; NULL when memory is out. Until
 * the first jacobian_analyse its rank is 0. */
struct jacobian_analysis *jacobian_analysis_create(size_t count, size_t size);
void jacobian_analysis_free(struct jacobian_analysis *analysis);

/* Analyses a Jacobian and the residuals at its point, both finite. Columns are scaled to length 1
 * and taken apart by singular values. False (and rank 0) when that failed. */
bool jacobian_analyse(struct jacobian_analysis *analysis, const gsl_matrix *jacobian,
                      const gsl_vector *residuals);

/* Singular values above 1e-8 of the largest. A column shorter than 1e-12 of the longest counts as
 * zero: scaled up it would be rounding noise and pass for an influence. */
size_t jacobian_rank(const struct jacobian_analysis *analysis);

/* By how much a full Gauss-Newton step would lower the sum of squares if the problem were linear:
 * the squared length of the residuals' projection on the space of the columns. */
double jacobian_promise(const struct jacobian_analysis *analysis);

/* (J'J)^-1 by rows, size * size numbers; NaN when the rank is less than size. */
void jacobian_covariance(const struct jacobian_analysis *analysis, double *covariance);

#endif
