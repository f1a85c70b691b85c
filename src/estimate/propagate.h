/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_PROPAGATE_H
#define RESTPOINT_ESTIMATE_PROPAGATE_H

#include <stddef.h>

/* From the covariance of some numbers to that of functions of them, to first order: the law of
 * propagation of uncertainty of JCGM 100:2008 (GUM), 5.2.2, and for several functions H.2. */

/* A function of the numbers x; NaN where it has no value. */
typedef double propagate_function(const void *context, const double *x);

/* Slopes of a function by each of `size` numbers, by a central difference over one standard
 * deviation either way (GUM, 5.1.3 note 2): a function that levels off within the interval must
 * not look certain because x lies on the level.
 *   x              the numbers; each is moved in turn and put back
 *   covariance     size * size by rows: the squares of the standard deviations on its diagonal
 *   smallest_step  least way to go, where a standard deviation is smaller
 *   slopes         receives size numbers */
void propagate_slopes(propagate_function *function, const void *context, double *x,
                      const double *covariance, size_t size, double smallest_step, double *slopes);

/* Covariance of two functions of those slopes; the variance of one when both are the same. */
double propagate_covariance(const double *slopes, const double *other_slopes,
                            const double *covariance, size_t size);

#endif
