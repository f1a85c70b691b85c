/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calibration_false_end.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#include "base/random.h"
#include "estimate/fit_end.h"
#include "estimate/fit_search.h"

#define RUN 20 /* iterations of the second way */

/* Puts the problem and its outer unknowns where the session was simulated. */
static void place_at_truth(struct fit_problem *problem, const struct constants *truth,
                           const struct simulated_truth *rows, double *x)
{
	const struct stroke_row *first = problem->inputs[0].measurement->rows;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		x[id] = prior_coordinate((enum constant_id)id, truth->value[id]);
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];
		const struct simulated_truth *row = &rows[stroke->row - first];

		for (int k = 0; k < SHARED_UNKNOWNS; k++)
			if (stroke->parameter[k] >= 0)
				x[stroke->parameter[k]] = row->shared[k];
		memcpy(stroke->own, row->own, sizeof stroke->own);
		stroke->active_count = 0;
		stroke->cost = 0.0;
	}
}

/* The end next to the truth: the better of where two ways lead from there. */
static enum status polish_truth(struct fit_problem *problem, struct fit_end *end, double *evidence)
{
	double again = HUGE_VAL;
	enum status status = fit_search_polish(problem, end, &again);

	if (status == STATUS_OK) {
		*evidence = fit_evidence(problem, end->x);
		status = fit_end_run_searching(problem, RUN, end);
	}
	if (status == STATUS_OK)
		status = fit_search_polish(problem, end, &again);
	if (status == STATUS_OK)
		*evidence = fmin(*evidence, fit_evidence(problem, end->x));
	return status;
}

/* rows NULL: searches as the fit does. */
static enum status find_end(struct fit_problem *problem, const struct constants *truth,
                            const struct simulated_truth *rows, double *evidence)
{
	enum status status = STATUS_SYSTEM;
	struct fit_end end;
	bool ready = fit_end_create(&end, fit_problem_size(problem));

	*evidence = HUGE_VAL;
	if (ready && rows != NULL) {
		place_at_truth(problem, truth, rows, end.x);
		status = polish_truth(problem, &end, evidence);
	} else if (ready) {
		status = fit_search(problem, &end);
		if (status == STATUS_OK)
			*evidence = fit_evidence(problem, end.x);
	}
	fit_end_free(&end);
	return status;
}

/* The same in a problem of its own: what one search leaves behind must not help the other. */
static enum status find_marginal(const struct fit_input *input, const struct constants *truth,
                                 const struct simulated_truth *rows, double *evidence)
{
	struct fault_list faults;
	struct fit_problem problem;
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return status;
	status = fit_problem_create(&problem, input, 1, RANDOM_DEFAULT_SEED, &faults);
	if (status == STATUS_OK) {
		status = find_end(&problem, truth, rows, evidence);
		fit_problem_free(&problem);
	}
	fault_list_free(&faults);
	return status;
}

enum status calibration_false_end(const struct protocol *protocol,
                                  const struct measurement *measurement,
                                  const struct constants *truth, const struct simulated_truth *rows,
                                  double *excess)
{
	struct fit_input input = {measurement, protocol};
	double searched, best;
	enum status status;

	gsl_set_error_handler_off(); /* as fit_run does */
	*excess = (double)NAN;
	status = find_marginal(&input, truth, rows, &best);
	if (status == STATUS_OK)
		status = find_marginal(&input, truth, NULL, &searched);
	if (status == STATUS_OK && isfinite(best))
		*excess = searched - best;
	return status;
}
