/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_OWN_SPACE_H
#define RESTPOINT_ESTIMATE_OWN_SPACE_H

#include <stdbool.h>

#include <gsl/gsl_matrix.h>

#include "estimate/stroke_case.h"

/* Linear algebra of one stroke: with its residuals r + J (u' - u) linear in its own unknowns u, whose
 * prior is standard normal, the best u' and the residuals with u eliminated follow from the
 * covariance C = 1 + J J' of the readings. */

/* Cholesky factor of C = 1 + J J' / precision in the lower triangle of factor, as large as there are
 * residuals. precision: of the own unknowns' prior, > 0. */
void own_space_factor(const struct stroke_case *stroke, double precision, gsl_matrix *factor);

/* Values of the active own unknowns after one step from the trial point: to the best ones in the
 * linearisation at hand for damping 0, shorter and more along the gradient for larger damping
 * (Levenberg 1944). *predicted: the fall of the cost that the undamped step promises; may be NULL.
 * False when a number is not finite. */
bool own_space_step(const struct stroke_case *stroke, double damping, double target[OWN_ACTIVE],
                    double *predicted);

/* Logarithm of the determinant of C at the linearisation at hand, which is that of 1 + J'J. */
double own_space_log_determinant(const struct stroke_case *stroke);

#endif
