/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit.h"

#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>

#include "estimate/drawn_constants.h"
#include "estimate/edge_strokes.h"
#include "estimate/fit_end.h"
#include "estimate/fit_extras.h"
#include "estimate/fit_omissions.h"
#include "estimate/fit_problem.h"
#include "estimate/fit_search.h"
#include "estimate/fit_snapshot.h"
#include "estimate/fit_states.h"
#include "estimate/fit_tries.h"
#include "estimate/set_aside.h"

#define ASIDE_ROUNDS 12
#define EDGE_ROUNDS 4   /* and one more for each EDGE_AMONG strokes */
#define EDGE_AMONG 25

/* Runs; where edges between courses of the balls are in the way, sets those strokes aside and runs
 * on from there. */
static enum status run(struct fit_problem *problem, const char **reasons, struct fit_end *end)
{
	enum status status = fit_end_run(problem, 0, end);
	/* Where strokes are many their sum is accepted (edge_strokes_accepted). */
	size_t many = problem->stroke_count < FIT_LARGE ? problem->stroke_count : FIT_LARGE;
	size_t rounds = EDGE_ROUNDS + many / EDGE_AMONG;

	for (size_t round = 0; round < rounds && status == STATUS_OK; round++) {
		double promise;

		if (end->result.stop != LEAST_SQUARES_NO_PROGRESS || !end->result.covariance_known ||
		    progress_stopped(problem->progress))
			break;
		if (edge_strokes_set_aside(problem, end->x, end->covariance, reasons, &promise) ==
		    0) {
			if (promise <= edge_strokes_accepted(problem))
				end->result.stop = LEAST_SQUARES_CONVERGED;
			break;
		}
		status = fit_end_run(problem, 0, end);
	}
	return status;
}

/* Runs from an end of the search. What is least there is the cost, not the marginal by which ends
 * are compared: where the run leads away to a worse end, the search's own is kept. */
static enum status run_from_search(struct fit_problem *problem, const char **reasons,
                                   struct fit_end *end)
{
	struct fit_snapshot found;
	enum status status = STATUS_SYSTEM;

	if (fit_snapshot_take(&found, problem, end))
		status = run(problem, reasons, end);
	if (status == STATUS_OK && !progress_stopped(problem->progress) &&
	    fit_snapshot_was_better(&found, problem, end))
		status = fit_snapshot_restore(&found, problem, end);
	fit_snapshot_free(&found);
	return status;
}

/* Squares of what the strokes share, over its priors. */
static double shared_squares(const struct fit_problem *problem, const double *x)
{
	double sum = 0.0;

	for (size_t i = CONSTANT_COUNT; i < fit_problem_size(problem); i++)
		sum += x[i] * x[i];
	return sum - fit_extras_squares(problem, x);
}

/* Squared residuals and own and shared unknowns of the strokes in use, without robust loss. */
static double chi_square(const struct fit_problem *problem, const double *x)
{
	double sum = shared_squares(problem, x);

	for (size_t i = 0; i < problem->stroke_count; i++)
		if (problem->strokes[i].used)
			sum += problem->strokes[i].cost;
	return sum;
}

static size_t readings_used(const struct fit_problem *problem)
{
	size_t count = 0;

	for (size_t i = 0; i < problem->stroke_count; i++)
		if (problem->strokes[i].used)
			count += problem->strokes[i].readings.count;
	return count;
}

/* Degrees of freedom that the constants, and what was fitted besides, took (formats.md 5). */
static double freedom_taken(const struct fit_problem *problem, const double *covariance)
{
	size_t size = fit_problem_size(problem);
	double taken = 0.0;

	for (size_t id = 0; id < CONSTANT_COUNT; id++)
		taken += 1.0 - fmin(1.0, covariance[id * size + id]);
	return taken + fit_extras_taken(problem, covariance);
}

/* Sets aside, a few at a time, the strokes that cannot belong to what the others tell. *any: whether
 * there was one. */
static enum status set_aside_rounds(struct fit_problem *problem, struct fit_end *end,
                                    struct arena *arena, const char **reasons, bool *any)
{
	enum status status = STATUS_OK;

	*any = false;
	for (int round = 0; round < ASIDE_ROUNDS && status == STATUS_OK; round++) {
		if (end->result.covariance_known)
			set_aside_foretell(problem, end->covariance);
		if (progress_stopped(problem->progress) ||
		    !set_aside_worst(problem->strokes, problem->stroke_count, arena, reasons))
			break;
		*any = true;
		status = run(problem, reasons, end);
	}
	return status;
}

static enum status run_without_spoiled(struct fit_problem *problem, struct fit_end *end,
                                       struct arena *arena, const char **reasons)
{
	bool any, returned;
	enum status status = set_aside_rounds(problem, end, arena, reasons, &any);

	if (status == STATUS_OK && !set_aside_review(problem, end->x, true, arena, reasons, &returned))
		status = STATUS_SYSTEM;
	if (status != STATUS_OK || !(any || returned))
		return status;
	/* What a spoiled stroke pulled astray need not come back by itself. */
	if (!progress_stopped(problem->progress))
		status = fit_search_near(problem, end);
	if (status == STATUS_OK)
		status = run_from_search(problem, reasons, end);
	if (status == STATUS_OK)
		status = set_aside_rounds(problem, end, arena, reasons, &any);
	if (status == STATUS_OK &&
	    !set_aside_review(problem, end->x, false, arena, reasons, &returned))
		status = STATUS_SYSTEM;
	return status;
}

/* The whole iteration: the search, then from its end to where the cost is least. Only then are
 * strokes on edges and spoiled ones set aside. */
static enum status run_all(struct fit_problem *problem, struct fit_end *end, struct arena *arena,
                           const char **reasons)
{
	enum status status;

	set_aside_screen(problem, reasons);
	problem->progress_to = 0.8;
	status = fit_search(problem, end);
	problem->progress_from = 0.8;
	problem->progress_to = 0.9;
	if (status == STATUS_OK)
		status = run_from_search(problem, reasons, end);
	if (status == STATUS_OK)
		status = run_without_spoiled(problem, end, arena, reasons);
	return status;
}

static bool measures_time(const struct fit_problem *problem)
{
	for (size_t i = 0; i < problem->stroke_count; i++) {
		const struct stroke_case *stroke = &problem->strokes[i];
		const struct launch *launch = &stroke->scene.design->launch;

		if (!stroke->used)
			continue;
		if (launch->by_ramp && launch->group_spread <= FIT_KNOWN_RELEASE)
			return true;
		for (size_t k = 0; k < stroke->readings.count; k++) {
			enum quantity_kind kind = quantity_at(stroke->readings.items[k].number).kind;

			if (kind == QUANTITY_WATCH || kind == QUANTITY_SOUND)
				return true;
		}
	}
	return false;
}

/* Whether draws can be taken about this end. Where strokes lie on the edge between two orders of
 * events the cost has an edge too, at which no step lowers it, or many do so hardly, though slopes
 * promise a little; the draws know both sides of it. */
#define EDGE_PROMISE 2.0

static bool serves(const struct least_squares_result *end)
{
	return end->stop == LEAST_SQUARES_CONVERGED ||
	       ((end->stop == LEAST_SQUARES_NO_PROGRESS ||
	         end->stop == LEAST_SQUARES_ITERATIONS) &&
	        end->promise < EDGE_PROMISE);
}

static void fill_counts(const struct fit_problem *problem, const struct fit_end *end,
                        struct fit_result *result)
{
	double taken = freedom_taken(problem, end->covariance);

	for (size_t i = 0; i < problem->stroke_count; i++)
		result->shots_used += problem->strokes[i].used;
	result->readings_used = readings_used(problem);
	result->chi_square = chi_square(problem, end->x);
	result->degrees_of_freedom = fmax(1.0, (double)result->readings_used - taken);
	result->chi_square_p = gsl_cdf_chisq_Q(result->chi_square, result->degrees_of_freedom);
	result->has_clock = measures_time(problem);
	result->iterations = end->result.iterations;
	result->interrupted = end->result.stop == LEAST_SQUARES_INTERRUPTED ||
	                      progress_stopped(problem->progress);
	result->converged = !result->interrupted && serves(&end->result);
	result->stop_reason = result->interrupted ? "interrupted"
	                      : result->converged
	                          ? least_squares_stop_name(LEAST_SQUARES_CONVERGED)
	                          : least_squares_stop_name(end->result.stop);
}

/* What the session tells of the model. One whose end cannot be played tells nothing of it, but may
 * tell constants. */
static enum status fill_model(const struct fit_problem *problem, const struct fit_end *end,
                              struct fit_result *result)
{
	struct fit_tries tries;
	enum status status = fit_tries_make(problem, end->x, &tries);

	result->lack_of_fit_p = result->lack_of_fit.probability = (double)NAN;
	if (status != STATUS_OK)
		return status == STATUS_NOT_CONVERGED ? STATUS_OK : status;
	status = fit_tries_split(&tries, shared_squares(problem, end->x),
	                         freedom_taken(problem, end->covariance), &result->lack_of_fit);
	result->lack_of_fit_p = result->lack_of_fit.probability;
	if (status == STATUS_OK && result->converged && end->result.covariance_known)
		status = fit_omissions_find(problem, &tries, end->covariance, result);
	fit_tries_free(&tries);
	return status == STATUS_NOT_CONVERGED ? STATUS_OK : status;
}

static enum status fit_status(const struct fit_result *result)
{
	if (result->interrupted)
		return STATUS_INTERRUPTED;
	if (!result->converged)
		return STATUS_NOT_CONVERGED;
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (result->constants[id].state == KNOWLEDGE_DETERMINED ||
		    result->constants[id].state == KNOWLEDGE_WEAK ||
		    result->constants[id].state == KNOWLEDGE_AT_LIMIT)
			return STATUS_OK;
	return STATUS_UNDETERMINED;
}

static enum status fit_problem_run(struct fit_problem *problem, struct fit_result *result)
{
	size_t size = fit_problem_size(problem);
	const char **reasons = arena_allocate(result->arena, (problem->stroke_count + 1) * sizeof *reasons);
	struct fit_end end;
	enum status status = STATUS_SYSTEM;

	if (fit_end_create(&end, size) && reasons != NULL)
		status = run_all(problem, &end, result->arena, reasons);
	if (status == STATUS_OK) {
		fill_counts(problem, &end, result);
		status = fill_model(problem, &end, result);
		if (status == STATUS_OK && result->converged)
			status = drawn_constants_take(problem, end.x, result);
	}
	if (status == STATUS_OK &&
	    (!fit_states_fill(result, end.x, end.covariance, size) ||
	     !fit_extras_fill(problem, end.x, end.covariance, result)))
		status = STATUS_SYSTEM;
	if (status == STATUS_OK) {
		fit_omissions_mark(result);
		status = set_aside_list(problem->inputs, problem->input_count, problem->strokes,
		                        problem->stroke_count, reasons, result)
		             ? fit_status(result)
		             : STATUS_SYSTEM;
	}
	fit_end_free(&end);
	return status;
}

enum status fit_run(const struct fit_input *inputs, size_t input_count,
                    const struct fit_options *options, struct fit_result *result,
                    struct fault_list *faults)
{
	struct fit_problem problem;
	enum status status;

	gsl_set_error_handler_off();
	*result = (struct fit_result){.arena = arena_create(), .stop_reason = "not started"};
	if (result->arena == NULL)
		return STATUS_SYSTEM;
	status = fit_problem_create_with(&problem, inputs, input_count, options, faults);
	if (status == STATUS_OK) {
		problem.progress = options->progress;
		status = fit_problem_run(&problem, result);
		fit_problem_free(&problem);
	}
	if (status == STATUS_INPUT || status == STATUS_SYSTEM)
		fit_result_free(result);
	return status;
}

void fit_result_free(struct fit_result *result)
{
	arena_free(result->arena);
	*result = (struct fit_result){.arena = NULL};
}
