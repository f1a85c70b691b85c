/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_DRAWN_CONSTANTS_H
#define RESTPOINT_ESTIMATE_DRAWN_CONSTANTS_H

#include "estimate/fit.h"
#include "estimate/fit_problem.h"

/* From draws of what is known (estimate/posterior.h) to the constants of a result. Internal to
 * src/estimate. */

/* The draws are known to spread too little: the strokes' likelihoods are taken from one point, and
 * bend away from it. What was learned counts as if the readings' errors were larger by this, found
 * in the calibration study (restpoint-method(7)). */
#define DRAWN_WIDENED 1.25

/* Draws, starting from the end x of a fit that converged, and puts the constants on their fitted
 * scales into result->draws. Where what is known cannot be drawn from there, or the person stopped
 * it, the result says so and has no draws. STATUS_OK or STATUS_SYSTEM. */
enum status drawn_constants_take(struct fit_problem *problem, const double *x,
                                 struct fit_result *result);

/* Widens the draws, as far as the priors and the limits let them, as if the readings' variances were
 * larger by factor and the square of DRAWN_WIDENED, and fills centre and covariance of the result
 * from them. False when memory is out. */
bool drawn_constants_finish(struct fit_result *result, double factor);

/* Median, standard error and 2.5 % and 97.5 % points of a constant; widened by result->coverage over
 * that of a normal distribution. space: as many numbers as there are draws. */
struct interval drawn_constants_interval(const struct fit_result *result, enum constant_id id,
                                         double *space);

#endif
