/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/propagate.h"

#include <math.h>

void propagate_slopes(propagate_function *function, const void *context, double *x,
                      const double *covariance, size_t size, double smallest_step, double *slopes)
{
	for (size_t i = 0; i < size; i++) {
		double middle = x[i], high, low;
		double step = fmax(smallest_step, sqrt(covariance[i * size + i]));

		x[i] = middle + step;
		high = function(context, x);
		x[i] = middle - step;
		low = function(context, x);
		x[i] = middle;
		slopes[i] = (high - low) / (2.0 * step);
	}
}

double propagate_covariance(const double *slopes, const double *other_slopes,
                            const double *covariance, size_t size)
{
	double sum = 0.0;

	for (size_t i = 0; i < size; i++)
		for (size_t k = 0; k < size; k++)
			sum += slopes[i] * covariance[i * size + k] * other_slopes[k];
	return sum;
}
