/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_JOINT_SYSTEM_H
#define RESTPOINT_ESTIMATE_JOINT_SYSTEM_H

#include <stdbool.h>

#include "estimate/fit_problem.h"

/* Linear algebra of a fit over everything at once (estimate/fit_joint.h): the strokes' own unknowns
 * are eliminated from the normal equations of the outer ones, whose arrow-shaped matrix so shrinks
 * to the outer unknowns. What each stroke brings are trial_own, trial_residuals, by_own, by_outer of
 * its stroke_case. Damping is added to the precision of every unknown (Levenberg 1944). */

/* The equations matrix * step = -gradient of the outer unknowns at x, with the weights of the
 * strokes' robust loss. matrix: size * size by rows, of fit_problem_size. */
void joint_system_fill(const struct fit_problem *problem, const double *x, double damping,
                       double *matrix, double *gradient);

/* Solves them; matrix is spoilt. False when a number is not finite. */
bool joint_system_solve(size_t size, double *matrix, const double *gradient, double *step);

/* The step of a stroke's active own unknowns that goes with that of the outer ones, and in foretold
 * the residuals after it if all were linear. Returns the cost then. */
double joint_system_own_step(const struct stroke_case *stroke, const double *outer_step,
                             double damping, double step[OWN_ACTIVE], double *foretold);

#endif
