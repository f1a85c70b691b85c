/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include <gsl/gsl_linalg.h>

#include "estimate/fit_joint.h"
#include "estimate/fit_search.h"

double fit_evidence(struct fit_problem *problem, const double *x)
{
	size_t size = fit_problem_size(problem);
	double sum = fit_marginal(problem, x);
	gsl_matrix *precision = gsl_matrix_alloc(size, size);

	if (precision == NULL || !isfinite(sum) ||
	    fit_joint_precision(problem, x, precision->data) != STATUS_OK ||
	    gsl_linalg_cholesky_decomp1(precision) != 0)
		sum = HUGE_VAL;
	for (size_t j = 0; isfinite(sum) && j < size; j++)
		sum += 2.0 * log(gsl_matrix_get(precision, j, j));
	gsl_matrix_free(precision);
	fit_marginal(problem, x); /* brings the strokes' costs back */
	return sum;
}
