/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "estimate/least_squares.h"

#define AGREEMENT_RELATIVE 1e-6
#define AGREEMENT_ABSOLUTE 1e-12 /* for costs that are rounding noise */

/* The ends of the fits from all starts, and the best of them. */
struct ends {
	double *costs;      /* of each end; NaN where there was none */
	double *x;          /* size numbers: where the fit under way is */
	double *covariance; /* of the fit under way */
	size_t count;
};

static void ends_free(struct ends *ends)
{
	free(ends->costs);
	free(ends->x);
	free(ends->covariance);
}

static enum status ends_create(struct ends *ends, size_t size, size_t start_count)
{
	*ends = (struct ends){.costs = calloc(start_count, sizeof(double)),
	                      .x = calloc(size, sizeof(double)),
	                      .covariance = calloc(size * size, sizeof(double))};
	if (ends->costs != NULL && ends->x != NULL && ends->covariance != NULL)
		return STATUS_OK;
	ends_free(ends);
	return STATUS_SYSTEM;
}

static size_t count_agreeing(const struct ends *ends, double cost)
{
	size_t agreeing = 0;

	for (size_t i = 0; i < ends->count; i++)
		if (ends->costs[i] - cost <= AGREEMENT_RELATIVE * cost + AGREEMENT_ABSOLUTE)
			agreeing++;
	return agreeing;
}

/* Whether an end is better than the best so far: one of lower cost; any when there was none. */
static bool is_better(const struct least_squares_result *end,
                      const struct least_squares_result *best)
{
	return isfinite(end->cost) && !(end->cost >= best->cost);
}

/* Fits from each start in turn; an interruption leaves the starts after it. */
static enum status fit_each(const struct least_squares_problem *problem,
                            const struct least_squares_options *options, const double *starts,
                            size_t start_count, struct ends *ends, double *x, double *covariance,
                            struct least_squares_result *best)
{
	size_t size = problem->size;

	for (size_t i = 0; i < start_count; i++) {
		struct least_squares_result end;
		enum status status;

		memcpy(ends->x, starts + i * size, size * sizeof(double));
		status = least_squares_fit(problem, options, ends->x, ends->covariance, &end);
		if (status != STATUS_OK)
			return status;
		ends->costs[ends->count++] = end.cost;
		if (i == 0 || is_better(&end, best)) {
			*best = end;
			memcpy(x, ends->x, size * sizeof(double));
			if (covariance != NULL)
				memcpy(covariance, ends->covariance, size * size * sizeof(double));
		}
		if (end.stop == LEAST_SQUARES_INTERRUPTED) {
			best->stop = LEAST_SQUARES_INTERRUPTED;
			break;
		}
	}
	return STATUS_OK;
}

enum status least_squares_fit_starts(const struct least_squares_problem *problem,
                                     const struct least_squares_options *options,
                                     const double *starts, size_t start_count, double *x,
                                     double *covariance, struct least_squares_result *result,
                                     size_t *agreeing)
{
	struct ends ends;
	enum status status;

	*agreeing = 0;
	*result =
	    (struct least_squares_result){.stop = LEAST_SQUARES_NOT_FINITE, .cost = (double)NAN};
	if (start_count == 0 || problem->size == 0)
		return STATUS_INTERNAL;
	status = ends_create(&ends, problem->size, start_count);
	if (status != STATUS_OK)
		return status;
	status = fit_each(problem, options, starts, start_count, &ends, x, covariance, result);
	*agreeing = count_agreeing(&ends, result->cost);
	ends_free(&ends);
	return status;
}
