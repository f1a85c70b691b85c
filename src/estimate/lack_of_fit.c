/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/lack_of_fit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>

/* The means of one group: normal equations of their best values. */
struct group_means {
	size_t capacity, count; /* of slots */
	size_t *slots;
	bool *counts;
	double *matrix, *right; /* capacity * capacity by rows, capacity */
	double squares;         /* of the reduced residuals */
	double readings;        /* residuals that count */
};

static bool means_create(struct group_means *means, size_t capacity)
{
	*means = (struct group_means){.capacity = capacity,
	                              .slots = calloc(capacity, sizeof *means->slots),
	                              .counts = calloc(capacity, sizeof *means->counts),
	                              .matrix = calloc(capacity * capacity, sizeof(double)),
	                              .right = calloc(capacity, sizeof(double))};
	return means->slots != NULL && means->counts != NULL && means->matrix != NULL &&
	       means->right != NULL;
}

static void means_free(struct group_means *means)
{
	free(means->slots);
	free(means->counts);
	free(means->matrix);
	free(means->right);
}

/* Place of a slot among those of the group, a new one where it is not there yet. */
static size_t slot_place(struct group_means *means, size_t slot)
{
	size_t place = 0;

	while (place < means->count && means->slots[place] != slot)
		place++;
	if (place == means->count)
		means->slots[means->count++] = slot;
	return place;
}

/* Column k of L^-1. False when L is not a Cholesky factor. */
static bool inverse_column(const struct lack_of_fit_try *try, size_t k, double *column)
{
	for (size_t i = 0; i < try->count; i++) {
		double sum = i == k ? 1.0 : 0.0, diagonal = try->factor[i * try->count + i];

		for (size_t j = k; j < i; j++)
			sum -= try->factor[i * try->count + j] * column[j];
		if (!(diagonal > 0.0))
			return false;
		column[i] = i < k ? 0.0 : sum / diagonal;
	}
	return true;
}

static double dot(const double *a, const double *b, size_t count)
{
	double sum = 0.0;

	for (size_t i = 0; i < count; i++)
		sum += a[i] * b[i];
	return sum;
}

static bool means_add(struct group_means *means, const struct lack_of_fit_try *try)
{
	double columns[LACK_OF_FIT_RESIDUALS][LACK_OF_FIT_RESIDUALS];
	size_t places[LACK_OF_FIT_RESIDUALS];

	if (try->count > LACK_OF_FIT_RESIDUALS)
		return false;
	for (size_t k = 0; k < try->count; k++) {
		if (!inverse_column(try, k, columns[k]))
			return false;
		places[k] = slot_place(means, try->slot[k]);
		means->counts[places[k]] = means->counts[places[k]] || try->counts[k];
		means->readings += try->counts[k];
	}
	for (size_t k = 0; k < try->count; k++) {
		means->right[places[k]] += dot(columns[k], try->reduced, try->count);
		for (size_t l = 0; l < try->count; l++)
			means->matrix[places[k] * means->capacity + places[l]] +=
			    dot(columns[k], columns[l], try->count);
	}
	means->squares += dot(try->reduced, try->reduced, try->count);
	return true;
}

/* Squares that the best means take away. */
static bool means_solve(struct group_means *means, double *taken)
{
	gsl_matrix_view whole =
	    gsl_matrix_view_array(means->matrix, means->capacity, means->capacity);
	gsl_matrix_view matrix =
	    gsl_matrix_submatrix(&whole.matrix, 0, 0, means->count, means->count);
	gsl_vector_view right = gsl_vector_view_array(means->right, means->count);

	/* With A = L L' and b the right side it is |L^-1 b|^2. */
	if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0)
		return false;
	gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &matrix.matrix, &right.vector);
	*taken = fmin(means->squares, dot(means->right, means->right, means->count));
	return isfinite(*taken);
}

static void add_group(const struct group_means *means, double taken, struct lack_of_fit *out)
{
	double slots = 0.0;

	for (size_t i = 0; i < means->count; i++)
		slots += means->counts[i];
	out->within += means->squares - taken;
	out->within_freedom += means->readings - slots;
	out->between += taken;
	out->between_freedom += slots;
}

/* Splits the squares of the tries of that group; a number that no try has changes nothing. */
static enum status split_group(const struct lack_of_fit_try *tries, size_t count, size_t group,
                               struct lack_of_fit *out)
{
	struct group_means means;
	size_t capacity = 0;
	double taken = 0.0;
	enum status status;

	for (size_t i = 0; i < count; i++)
		capacity += tries[i].group == group ? tries[i].count : 0;
	if (capacity == 0)
		return STATUS_OK;
	status = means_create(&means, capacity) ? STATUS_OK : STATUS_SYSTEM;
	for (size_t i = 0; i < count && status == STATUS_OK; i++)
		if (tries[i].group == group && !means_add(&means, &tries[i]))
			status = STATUS_NOT_CONVERGED;
	if (status == STATUS_OK && !means_solve(&means, &taken))
		status = STATUS_NOT_CONVERGED;
	if (status == STATUS_OK)
		add_group(&means, taken, out);
	means_free(&means);
	return status;
}

enum status lack_of_fit_split(const struct lack_of_fit_try *tries, size_t count, double further,
                              double taken, struct lack_of_fit *out)
{
	enum status status = STATUS_OK;

	*out = (struct lack_of_fit){.between = further, .between_freedom = -taken};
	for (size_t group = 0; group < count && status == STATUS_OK; group++)
		status = split_group(tries, count, group, out);
	out->probability = status == STATUS_OK ? lack_of_fit_probability(out) : (double)NAN;
	return status;
}

double lack_of_fit_probability(const struct lack_of_fit *split)
{
	double stated, found;

	if (!(split->between_freedom >= LACK_OF_FIT_FREEDOM) || !isfinite(split->between))
		return (double)NAN;
	stated = gsl_cdf_chisq_Q(split->between, split->between_freedom);
	if (!(split->within_freedom > 0.0))
		return stated;
	if (!(split->within > 0.0))
		return stated; /* no scatter at all: F has no bound, and is not the larger one */
	found = gsl_cdf_fdist_Q(split->between / split->between_freedom * split->within_freedom /
	                            split->within,
	                        split->between_freedom, split->within_freedom);
	return fmax(stated, found);
}
