/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_STATES_H
#define RESTPOINT_ESTIMATE_FIT_STATES_H

#include <stdbool.h>
#include <stddef.h>

#include "estimate/fit.h"

/* From a point and its covariance to what is known of each constant (formats.md 5). */

/* A ramp whose release speed is known this well (sd of its logarithm) serves as a clock. */
#define FIT_KNOWN_RELEASE 0.1
/* Errors are enlarged when chi-square is less likely than this. */
#define FIT_SCALE_BELOW 0.01

/* A constant of which less is learned is not determined; one whose logarithm has a larger standard
 * deviation than that is weak (formats.md 5). */
#define FIT_LEARNED_ENOUGH 0.5
#define FIT_WEAK_ABOVE 0.10

/* Fills centre, covariance, constants, combinations, unknowns, scaled and coverage of the result,
 * whose chi_square, degrees_of_freedom, chi_square_p and has_clock are there: from the draws, which
 * are enlarged where the fit is too bad to be chance; from x and its covariance where there are
 * none.
 *   x           standardised outer unknowns at the best point, the constants first
 *   covariance  size * size by rows, of x, by linear approximation there
 * False when memory is out. */
bool fit_states_fill(struct fit_result *result, const double *x, const double *covariance,
                     size_t size);

/* Value, standard error and 95 % interval of a constant whose fitted scale has that mean and
 * standard deviation; the interval ends at the hard limits. */
struct interval fit_states_interval(enum constant_id id, double mean, double deviation);

#endif
