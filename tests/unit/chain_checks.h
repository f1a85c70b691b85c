/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_CHAIN_CHECKS_H
#define RESTPOINT_TESTS_CHAIN_CHECKS_H

#include <math.h>
#include <stddef.h>
#include <stdio.h>

/* Means over draws of chains with their Monte Carlo errors, from the means of batches of successive
 * draws (Flegal & Jones, Ann. Statist. 38, 1034 (2010)). */

#define CHAIN_BATCHES 40  /* of each chain */
#define CHAIN_ERRORS 4.0  /* a mean may be off by so many of its standard errors */
#define CHAIN_FEWEST 0.02 /* of the draws must count as independent, or the errors tell nothing */

struct chain_draws {
	size_t size, chains, keep;
	double *rows;
};

struct chain_mean {
	double mean, error; /* 1 sd */
	double independent; /* draws that would have that error */
};

typedef double chain_value(const double *x, const void *context);

static inline struct chain_mean chain_mean_of(const struct chain_draws *draws, chain_value *value,
                                              const void *context)
{
	size_t each = draws->keep / CHAIN_BATCHES, count = draws->chains * CHAIN_BATCHES;
	double sum = 0.0, squares = 0.0, batches = 0.0, n = (double)(count * each);
	struct chain_mean result;

	for (size_t b = 0; b < count; b++) {
		size_t first = b / CHAIN_BATCHES * draws->keep + b % CHAIN_BATCHES * each;
		double batch = 0.0;

		for (size_t k = first; k < first + each; k++) {
			double got = value(draws->rows + k * draws->size, context);

			batch += got;
			squares += got * got;
		}
		sum += batch;
		batches += batch * batch;
	}
	result.mean = sum / n;
	batches = batches / (double)(each * each) - (double)count * result.mean * result.mean;
	result.error = sqrt(batches / (double)(count - 1) / (double)count);
	result.independent =
	    (squares / n - result.mean * result.mean) / (result.error * result.error);
	return result;
}

/* 1, with a line on standard error, for a mean that is too far off or not known well, else 0. */
static inline int chain_miss(const char *what, int row, const struct chain_draws *draws,
                             chain_value *value, const void *context, double wanted)
{
	struct chain_mean got = chain_mean_of(draws, value, context);
	double all = (double)(draws->chains * draws->keep);

	if (fabs(got.mean - wanted) <= CHAIN_ERRORS * got.error &&
	    got.independent >= CHAIN_FEWEST * all)
		return 0;
	fprintf(stderr, "%s, row %d: wanted %.8g, got %.8g, error %.3g, %.0f independent of %.0f\n",
	        what, row, wanted, got.mean, got.error, got.independent, all);
	return 1;
}

#endif
