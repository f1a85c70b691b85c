/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_end.h"

#include <math.h>
#include <stdlib.h>

#include "physics/cushion.h"

#define SEARCH_ROUNDS 5
/* Chi-square that may be left to gain: it shifts no constant by more than a sixth of its standard
 * error. Less cannot be asked for: a stroke whose best unknowns lie on the edge between two orders
 * of events has no derivative there. */
#define COST_TOLERANCE 0.03

bool fit_end_create(struct fit_end *end, size_t size)
{
	*end = (struct fit_end){.x = calloc(size, sizeof(double)),
	                        .covariance = calloc(size * size, sizeof(double))};
	return end->x != NULL && end->covariance != NULL;
}

void fit_end_free(struct fit_end *end)
{
	free(end->x);
	free(end->covariance);
}

enum status fit_end_run(struct fit_problem *problem, size_t iterations, struct fit_end *end)
{
	struct least_squares_problem squares = {.size = fit_problem_size(problem),
	                                        .count = fit_problem_count(problem),
	                                        .residuals = fit_problem_residuals,
	                                        .jacobian = fit_problem_jacobian,
	                                        .context = problem};
	struct least_squares_options options = {.iterations = iterations,
	                                        .step_tolerance = 1e-4,
	                                        .cost_tolerance = COST_TOLERANCE,
	                                        .gradient_tolerance = 1e-5,
	                                        .progress = problem->progress};

	enum status status;

	problem->latest[0] = HUGE_VAL;
	/* Of many strokes the draws find the middle anew: the last digits are not worth their time. */
	if (problem->stroke_count > FIT_LARGE)
		fit_problem_set_tolerance(problem, FIT_SEARCH_TOLERANCE);
	status = least_squares_fit(&squares, &options, end->x, end->covariance, &end->result);
	fit_problem_set_tolerance(problem, CUSHION_TOLERANCE);
	return status;
}

enum status fit_end_run_searching(struct fit_problem *problem, size_t iterations,
                                  struct fit_end *end)
{
	enum status status = fit_end_run(problem, iterations, end);

	for (int round = 0; round < SEARCH_ROUNDS && status == STATUS_OK; round++) {
		if (progress_stopped(problem->progress) || fit_problem_search(problem, end->x) == 0)
			break;
		status = fit_end_run(problem, iterations, end);
	}
	return status;
}
