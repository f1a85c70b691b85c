/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/jacobian.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#define RANK_TOLERANCE 1e-8
#define COLUMN_TOLERANCE 1e-12

struct jacobian_analysis {
	size_t size;
	gsl_matrix *columns; /* the Jacobian scaled, then its left singular vectors */
	gsl_matrix *right;   /* right singular vectors */
	gsl_vector *singular, *scratch;
	gsl_vector *lengths; /* of the columns; 0 for one without influence */
	size_t rank;
	double promise;
};

struct jacobian_analysis *jacobian_analysis_create(size_t count, size_t size)
{
	struct jacobian_analysis *analysis = calloc(1, sizeof(*analysis));

	if (analysis == NULL)
		return NULL;
	analysis->size = size;
	analysis->columns = gsl_matrix_alloc(count, size);
	analysis->right = gsl_matrix_alloc(size, size);
	analysis->singular = gsl_vector_alloc(size);
	analysis->scratch = gsl_vector_alloc(size);
	analysis->lengths = gsl_vector_alloc(size);
	if (analysis->columns != NULL && analysis->right != NULL && analysis->singular != NULL &&
	    analysis->scratch != NULL && analysis->lengths != NULL)
		return analysis;
	jacobian_analysis_free(analysis);
	return NULL;
}

void jacobian_analysis_free(struct jacobian_analysis *analysis)
{
	if (analysis == NULL)
		return;
	gsl_matrix_free(analysis->columns);
	gsl_matrix_free(analysis->right);
	gsl_vector_free(analysis->singular);
	gsl_vector_free(analysis->scratch);
	gsl_vector_free(analysis->lengths);
	free(analysis);
}

/* Notes the length of each column and returns that of the longest. */
static double measure_columns(struct jacobian_analysis *analysis)
{
	double longest = 0.0;

	for (size_t j = 0; j < analysis->size; j++) {
		gsl_vector_view column = gsl_matrix_column(analysis->columns, j);
		double length = gsl_blas_dnrm2(&column.vector);

		gsl_vector_set(analysis->lengths, j, length);
		longest = fmax(longest, length);
	}
	return longest;
}

static void scale_columns(struct jacobian_analysis *analysis)
{
	double longest = measure_columns(analysis);

	for (size_t j = 0; j < analysis->size; j++) {
		gsl_vector_view column = gsl_matrix_column(analysis->columns, j);
		double length = gsl_vector_get(analysis->lengths, j);

		if (length > COLUMN_TOLERANCE * longest) {
			gsl_vector_scale(&column.vector, 1.0 / length);
		} else {
			gsl_vector_set(analysis->lengths, j, 0.0);
			gsl_vector_set_zero(&column.vector);
		}
	}
}

bool jacobian_analyse(struct jacobian_analysis *analysis, const gsl_matrix *jacobian,
                      const gsl_vector *residuals)
{
	double smallest;

	analysis->rank = 0;
	analysis->promise = 0.0;
	gsl_matrix_memcpy(analysis->columns, jacobian);
	scale_columns(analysis);
	if (gsl_linalg_SV_decomp(analysis->columns, analysis->right, analysis->singular,
	                         analysis->scratch) != GSL_SUCCESS)
		return false;
	smallest = RANK_TOLERANCE * gsl_vector_get(analysis->singular, 0);
	for (size_t k = 0; k < analysis->size; k++) {
		gsl_vector_view left = gsl_matrix_column(analysis->columns, k);
		double part;

		if (!(gsl_vector_get(analysis->singular, k) > smallest))
			break;
		gsl_blas_ddot(&left.vector, residuals, &part);
		analysis->promise += part * part;
		analysis->rank = k + 1;
	}
	return true;
}

size_t jacobian_rank(const struct jacobian_analysis *analysis)
{
	return analysis->rank;
}

double jacobian_promise(const struct jacobian_analysis *analysis)
{
	return analysis->promise;
}

/* One element, from the singular values of the scaled Jacobian. */
static double covariance_element(const struct jacobian_analysis *analysis, size_t i, size_t j)
{
	double sum = 0.0;

	for (size_t k = 0; k < analysis->size; k++) {
		double s = gsl_vector_get(analysis->singular, k);

		sum += (gsl_matrix_get(analysis->right, i, k) / s) *
		       (gsl_matrix_get(analysis->right, j, k) / s);
	}
	return sum / gsl_vector_get(analysis->lengths, i) / gsl_vector_get(analysis->lengths, j);
}

void jacobian_covariance(const struct jacobian_analysis *analysis, double *covariance)
{
	size_t size = analysis->size;
	bool known = analysis->rank == size;

	for (size_t i = 0; i < size; i++) {
		for (size_t j = 0; j <= i; j++) {
			double element = known ? covariance_element(analysis, i, j) : (double)NAN;

			covariance[i * size + j] = element;
			covariance[j * size + i] = element;
		}
	}
}
