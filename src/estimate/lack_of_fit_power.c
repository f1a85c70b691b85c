/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/lack_of_fit.h"

#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>

#define NODES 40          /* of the quadrature over the scatter of the tries, equally likely */
#define TERMS_DEVIATIONS 6 /* Poisson weights beyond that matter for no digit that is told */
#define CERTAIN 1e4        /* a noncentrality from which on a test sees it */

double lack_of_fit_noncentral_tail(double x, double freedom, double noncentrality)
{
	double mean = 0.5 * noncentrality, reach = TERMS_DEVIATIONS * sqrt(mean + 1.0) + 20.0;
	double sum = 0.0;

	if (!(noncentrality > 0.0))
		return gsl_cdf_chisq_Q(x, freedom);
	for (double j = floor(fmax(0.0, mean - reach)); j <= mean + reach; j += 1.0)
		sum +=
		    gsl_ran_poisson_pdf((unsigned)j, mean) * gsl_cdf_chisq_Q(x, freedom + 2.0 * j);
	return sum;
}

double lack_of_fit_power(const struct lack_of_fit *freedom, double noncentrality, double level)
{
	double between = freedom->between_freedom, within = freedom->within_freedom;
	double stated, ratio, sum = 0.0;

	if (!(between >= LACK_OF_FIT_FREEDOM) || isnan(noncentrality))
		return 0.0;
	if (noncentrality > CERTAIN)
		return 1.0;
	stated = gsl_cdf_chisq_Qinv(level, between);
	if (!(within > 0.0))
		return lack_of_fit_noncentral_tail(stated, between, noncentrality);
	ratio = gsl_cdf_fdist_Qinv(level, between, within);
	for (int i = 0; i < NODES; i++) {
		double scatter = gsl_cdf_chisq_Pinv((i + 0.5) / NODES, within);

		sum += lack_of_fit_noncentral_tail(fmax(stated, ratio * between * scatter / within),
		                                   between, noncentrality);
	}
	return sum / NODES;
}
