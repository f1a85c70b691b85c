/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_END_H
#define RESTPOINT_ESTIMATE_FIT_END_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "estimate/fit_problem.h"
#include "estimate/least_squares.h"

/* Where the iteration of a fit has ended: outer unknowns, their covariance, how it ended. Internal
 * to src/estimate. */
struct fit_end {
	double *x;
	double *covariance;
	struct least_squares_result result;
};

/* For size outer unknowns, all at 0. False when memory is out; fit_end_free is due all the same. */
bool fit_end_create(struct fit_end *end, size_t size);
void fit_end_free(struct fit_end *end);

/* Runs the iteration from end->x and the strokes' own unknowns, at most so many iterations (0: as
 * many as least_squares_fit takes by itself). As least_squares_fit. */
enum status fit_end_run(struct fit_problem *problem, size_t iterations, struct fit_end *end);

/* Runs; then searches every stroke anew and runs on while that finds better solutions. */
enum status fit_end_run_searching(struct fit_problem *problem, size_t iterations,
                                  struct fit_end *end);

#endif
