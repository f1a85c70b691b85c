/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_DENSE_H
#define RESTPOINT_TESTS_OUTSIDE_DENSE_H

#include <stdbool.h>
#include <stddef.h>

#include "estimate/fit_problem.h"

/* The fit of a session as what it is without any of the program's algebra: one least-squares
 * problem in all unknowns at once, the constants, what strokes share and what each stroke has for
 * itself; its residuals those of the readings and every unknown itself, as a priori each is 0 with
 * a standard deviation of 1 (physics.md 6). Nothing is eliminated, no loss is robust. Solved by
 * cminpack, the C version of MINPACK (Moré, Garbow & Hillstrom, Argonne ANL-80-74, 1980), with
 * derivatives by extrapolated differences of the residuals alone. */

/* What a stroke has for itself and where it stands in the vectors. */
struct dense_stroke {
	const struct stroke_case *stroke;
	size_t own_count;
	int own[OWN_UNKNOWNS]; /* numbers of its own unknowns */
	size_t first_own, first_residual;
};

struct dense_problem {
	size_t outer_count; /* the first unknowns, in the order of the fit problem */
	size_t unknown_count, residual_count;
	size_t stroke_count;
	struct dense_stroke *strokes;
};

/* From a fit problem near its end x, for the strokes in use: their own unknowns are the strike's
 * and two for each impact that a ball has with a rail there. False when a stroke cannot be played
 * or memory is out; release with dense_problem_free. */
bool dense_problem_create(struct dense_problem *dense, const struct fit_problem *problem,
                          const double *x);

void dense_problem_free(struct dense_problem *dense);

/* The unknowns of the fit's own end x: unknown_count numbers. */
void dense_problem_start(const struct dense_problem *dense, const double *x, double *unknowns);

/* Minimises from `unknowns`, which receives the end.
 *   cost        receives the sum of squares there
 *   covariance  receives the inverse of the normal matrix there, unknown_count squared numbers
 * False when cminpack gave up or memory is out. */
bool dense_problem_solve(const struct dense_problem *dense, double *unknowns, double *cost,
                         double *covariance);

#endif
