/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/coverage.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#define NORMAL_975 1.959963984540054 /* 97.5 % point of the standard normal */

double coverage_factor(double degrees_of_freedom)
{
	return isfinite(degrees_of_freedom) ? gsl_cdf_tdist_Pinv(0.975, degrees_of_freedom)
	                                    : NORMAL_975;
}
