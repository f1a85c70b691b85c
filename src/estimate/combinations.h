/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_COMBINATIONS_H
#define RESTPOINT_ESTIMATE_COMBINATIONS_H

#include <stdbool.h>

#include "estimate/fit.h"

/* What is known of constants together of which none is known alone.
 *
 * The covariance of the constants that are not determined, each divided by the deviation of its
 * prior, is taken apart into its directions: their variances are those that the singular values of
 * the Jacobian, scaled by the priors, leave. A direction of small variance that several constants
 * share is known. It is told as the plain ratio or product of two constants that comes next to it,
 * or with a square on one of the two, and as a product of powers only where it is clearly better
 * known than any such pair. One direction after the other is told, each with that part of it
 * that the earlier ones do not say already. */

/* Fills combinations and unknowns of a result whose constants, centre, covariance and draws are
 * there; intervals are those of the draws where there are any, else linear. False when memory is
 * out. */
bool combinations_find(struct fit_result *result);

#endif
