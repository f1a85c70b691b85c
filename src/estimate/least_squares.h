/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_LEAST_SQUARES_H
#define RESTPOINT_ESTIMATE_LEAST_SQUARES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/progress.h"
#include "base/status.h"

/* Nonlinear least squares through GSL's multifit_nlinear, driven step by step so that the caller
 * can stop it, with what GSL does not check decided here: residuals that are not finite, the rank
 * of the problem, and how the iteration really ended. An end by a small step, a small gain or none
 * is "converged" only where a full Gauss-Newton step promises to take off no more than the largest
 * of cost_tolerance, 1e-8 of the cost and 1e-12. */

/* The problem: minimise the sum of squares of count residuals over size parameters, both scaled
 * to about 1 (residuals divided by their standard deviation). */
struct least_squares_problem {
	size_t size;  /* parameters p */
	size_t count; /* residuals n >= p */
	/* Residuals at x (length size) into residuals (length count); false when they cannot be
	 * computed there: the step is then shortened. */
	bool (*residuals)(void *context, const double *x, double *residuals);
	/* Jacobian d residual_i / d x_j into jacobian[i * size + j] at x, the point of the latest
	 * call of residuals or another. NULL: central differences of step `difference_step`. */
	bool (*jacobian)(void *context, const double *x, double *jacobian);
	void *context;
	double difference_step; /* relative to max(|x_j|, 1); 0: 6e-6 */
};

struct least_squares_options {
	size_t iterations;       /* at most; 0: 100 */
	double step_tolerance;   /* on each parameter's step relative to |x| + step_tolerance */
	double cost_tolerance;   /* converged when a step lowers the cost by less than this; 0: off */
	/* Converged when the cosine of the angle between the residuals and the plane of the Jacobian's
	 * columns is not larger: the relative offset of Bates & Watts, Technometrics 23, 179 (1981),
	 * which no scale of parameters or residuals changes. 0: off. */
	double gradient_tolerance;
	const struct progress *progress; /* polled at each evaluation; may be NULL */
};

enum least_squares_stop {
	LEAST_SQUARES_CONVERGED,
	LEAST_SQUARES_NO_PROGRESS, /* no step lowers the cost, and the gradient is not small */
	LEAST_SQUARES_ITERATIONS,
	LEAST_SQUARES_NOT_FINITE,  /* residuals cannot be computed, at the start or near it */
	LEAST_SQUARES_INTERRUPTED
};

/* "converged", "no progress", ... */
const char *least_squares_stop_name(enum least_squares_stop stop);

struct least_squares_result {
	enum least_squares_stop stop;
	size_t iterations;
	double cost;       /* sum of squared residuals at x */
	size_t rank;       /* of the Jacobian at x with its columns scaled to length 1
	                      (estimate/jacobian.h); 0 where the start had no residuals */
	bool covariance_known; /* false when rank < size */
	double promise; /* what a full Gauss-Newton step at x promises to take off the cost */
};

/* Runs the fit from x (length size), which receives the best point found, also when it ends badly.
 *   covariance  size * size by rows, receives (J'J)^-1, NOT multiplied by the variance of the
 *               residuals; set to NaN when the rank is less than size. May be NULL.
 * STATUS_OK when it ran (look at result->stop), STATUS_SYSTEM when memory is out,
 * STATUS_INTERNAL on a wrong problem (count < size). */
enum status least_squares_fit(const struct least_squares_problem *problem,
                              const struct least_squares_options *options, double *x,
                              double *covariance, struct least_squares_result *result);

/* The same from several starts (start_count rows of size numbers); keeps the end of lowest cost.
 * *agreeing receives how many starts ended within 1e-6 relative of that cost: a single one among
 * several tells that the others stopped at a false end. */
enum status least_squares_fit_starts(const struct least_squares_problem *problem,
                                     const struct least_squares_options *options,
                                     const double *starts, size_t start_count, double *x,
                                     double *covariance, struct least_squares_result *result,
                                     size_t *agreeing);

#endif
