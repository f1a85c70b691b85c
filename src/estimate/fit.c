/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>

#include "base/random.h"
#include "estimate/edge_strokes.h"
#include "estimate/fit_problem.h"
#include "estimate/fit_states.h"
#include "estimate/least_squares.h"
#include "estimate/set_aside.h"

#define STARTS 4         /* further ones where the first end is not likely */
#define START_SPREAD 0.7 /* of those draws, in standard deviations of the priors */
#define WORTH_SEARCHING 10.0 /* cost above the best so far that a short run may end with */
#define SHORT_RUN 8      /* iterations of a run from a further start */
#define SATISFIED 0.2    /* an end this likely needs no further starts */
#define ASIDE_ROUNDS 12
#define EDGE_ROUNDS 4
#define SEARCH_ROUNDS 5
/* Chi-square that may be left to gain: it shifts no constant by more than a sixth of its standard
 * error. Less cannot be asked for: a stroke whose best unknowns lie on the edge between two orders
 * of events has no derivative there. */
#define COST_TOLERANCE 0.03

/* One end of the iteration: outer unknowns, their covariance, how it ended. */
struct fit_end {
	double *x;
	double *covariance;
	struct least_squares_result result;
};

static bool fit_end_create(struct fit_end *end, size_t size)
{
	*end = (struct fit_end){.x = calloc(size, sizeof(double)),
	                        .covariance = calloc(size * size, sizeof(double))};
	return end->x != NULL && end->covariance != NULL;
}

static void fit_end_free(struct fit_end *end)
{
	free(end->x);
	free(end->covariance);
}

static enum status run_once(struct fit_problem *problem, size_t iterations, struct fit_end *end)
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

	problem->latest[0] = HUGE_VAL;
	return least_squares_fit(&squares, &options, end->x, end->covariance, &end->result);
}

/* Runs; then searches every stroke anew and runs on while that finds better solutions. */
static enum status run_searching(struct fit_problem *problem, size_t iterations,
                                 struct fit_end *end)
{
	enum status status = run_once(problem, iterations, end);

	for (int round = 0; round < SEARCH_ROUNDS && status == STATUS_OK; round++) {
		if (progress_stopped(problem->progress) || fit_problem_search(problem, end->x) == 0)
			break;
		status = run_once(problem, iterations, end);
	}
	return status;
}

/* Runs; where edges between courses of the balls are in the way, sets those strokes aside and runs
 * on from there. */
static enum status run(struct fit_problem *problem, const char **reasons, struct fit_end *end)
{
	enum status status = run_searching(problem, 0, end);

	for (int round = 0; round < EDGE_ROUNDS && status == STATUS_OK; round++) {
		double promise;

		if (end->result.stop != LEAST_SQUARES_NO_PROGRESS || !end->result.covariance_known ||
		    progress_stopped(problem->progress))
			break;
		if (edge_strokes_set_aside(problem, end->x, end->covariance, reasons, &promise) ==
		    0) {
			if (promise <= EDGE_ACCEPTED)
				end->result.stop = LEAST_SQUARES_CONVERGED;
			break;
		}
		status = run_searching(problem, 0, end);
	}
	return status;
}

/* Squared residuals and own and shared unknowns of the strokes in use, without robust loss. */
static double chi_square(const struct fit_problem *problem, const double *x)
{
	double sum = 0.0;

	for (size_t i = 0; i < problem->stroke_count; i++)
		if (problem->strokes[i].used)
			sum += problem->strokes[i].cost;
	for (size_t i = CONSTANT_COUNT; i < fit_problem_size(problem); i++)
		sum += x[i] * x[i];
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

/* Readings less what the constants took from them (formats.md 5). */
static double degrees_of_freedom(const struct fit_problem *problem, const double *covariance)
{
	size_t size = fit_problem_size(problem);
	double taken = 0.0;

	for (size_t id = 0; id < CONSTANT_COUNT; id++)
		taken += 1.0 - fmin(1.0, covariance[id * size + id]);
	return fmax(1.0, (double)readings_used(problem) - taken);
}

static double likelihood(const struct fit_problem *problem, const struct fit_end *end)
{
	return gsl_cdf_chisq_Q(chi_square(problem, end->x),
	                       degrees_of_freedom(problem, end->covariance));
}

/* A further start: the end found, for the strokes to be solved afresh, then draws about the middle
 * of the priors. */
static void choose_start(const struct fit_problem *problem, unsigned number, const double *end,
                         double *x)
{
	struct random_stream stream = random_start(problem->seed, UINT64_C(1000003) + number);

	memcpy(x, end, fit_problem_size(problem) * sizeof(double));
	if (number == 0)
		return;
	memset(x, 0, fit_problem_size(problem) * sizeof(double));
	for (int id = 0; id < CONSTANT_COUNT; id++)
		x[id] = START_SPREAD * random_normal(&stream);
}

/* What the strokes hold at an end, to come back to it. */
static void copy_own(struct fit_problem *problem, double (*own)[OWN_UNKNOWNS], bool back)
{
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];

		if (back) {
			memcpy(stroke->own, own[i], sizeof own[i]);
			stroke->active_count = 0;
		} else {
			memcpy(own[i], stroke->own, sizeof own[i]);
		}
	}
}

static void forget_strokes(struct fit_problem *problem)
{
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];

		memset(stroke->own, 0, sizeof stroke->own);
		stroke->active_count = 0;
		stroke->cost = 0.0;
	}
}

/* Runs from so many further starts, shortly; keeps the best and runs on from there. */
static enum status run_further(struct fit_problem *problem, unsigned starts,
                               struct fit_end *best)
{
	size_t size = fit_problem_size(problem);
	double(*own)[OWN_UNKNOWNS] = calloc(problem->stroke_count + 1, sizeof *own);
	struct fit_end other;
	enum status status = STATUS_OK;
	bool ready = fit_end_create(&other, size) && own != NULL;
	bool better = false;

	if (ready)
		copy_own(problem, own, false);
	for (unsigned number = 0; ready && status == STATUS_OK && number < starts; number++) {
		if (progress_stopped(problem->progress))
			break;
		forget_strokes(problem);
		choose_start(problem, number, best->x, other.x);
		status = run_once(problem, SHORT_RUN, &other);
		if (status == STATUS_OK && other.result.cost < best->result.cost + WORTH_SEARCHING)
			status = run_searching(problem, SHORT_RUN, &other);
		if (status == STATUS_OK && other.result.cost < best->result.cost - 0.5) {
			memcpy(best->x, other.x, size * sizeof(double));
			best->result.cost = other.result.cost;
			copy_own(problem, own, false);
			better = true;
		}
	}
	if (ready)
		copy_own(problem, own, true);
	if (ready && better && status == STATUS_OK && !progress_stopped(problem->progress))
		status = run_searching(problem, 0, best);
	fit_end_free(&other);
	free(own);
	return ready ? status : STATUS_SYSTEM;
}

/* Sets aside, a few at a time, the strokes that cannot belong to what the others tell. */
static enum status run_without_spoiled(struct fit_problem *problem, struct fit_end *end,
                                       struct arena *arena, const char **reasons)
{
	enum status status = STATUS_OK;
	int round;

	for (round = 0; round < ASIDE_ROUNDS && status == STATUS_OK; round++) {
		if (progress_stopped(problem->progress) ||
		    !set_aside_worst(problem->strokes, problem->stroke_count, arena, reasons))
			break;
		status = run(problem, reasons, end);
	}
	/* What a spoiled stroke pulled astray need not come back by itself. */
	if (round > 0 && status == STATUS_OK)
		status = run_further(problem, 1, end);
	return status;
}

/* The whole iteration: from the middle of the priors, then from there with every stroke solved
 * afresh, then from other constants where the end is not likely. Only then are strokes on edges
 * and spoiled ones set aside. */
static enum status run_all(struct fit_problem *problem, struct fit_end *end, struct arena *arena,
                           const char **reasons)
{
	enum status status;

	problem->progress_to = 0.3;
	status = run_searching(problem, 0, end);
	problem->progress_from = 0.3;
	problem->progress_to = 0.5;
	if (status == STATUS_OK)
		status = run_further(problem, 1, end);
	problem->progress_from = 0.5;
	problem->progress_to = 0.9;
	if (status == STATUS_OK && !(likelihood(problem, end) > SATISFIED))
		status = run_further(problem, STARTS, end);
	problem->progress_from = 0.9;
	problem->progress_to = 1.0;
	if (status == STATUS_OK && end->result.stop != LEAST_SQUARES_CONVERGED)
		status = run(problem, reasons, end);
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

static void fill_counts(const struct fit_problem *problem, const struct fit_end *end,
                        struct fit_result *result)
{
	for (size_t i = 0; i < problem->stroke_count; i++)
		result->shots_used += problem->strokes[i].used;
	result->readings_used = readings_used(problem);
	result->chi_square = chi_square(problem, end->x);
	result->degrees_of_freedom = degrees_of_freedom(problem, end->covariance);
	result->lack_of_fit_p = gsl_cdf_chisq_Q(result->chi_square, result->degrees_of_freedom);
	result->has_clock = measures_time(problem);
	result->iterations = end->result.iterations;
	result->interrupted = end->result.stop == LEAST_SQUARES_INTERRUPTED ||
	                      progress_stopped(problem->progress);
	result->converged =
	    !result->interrupted && end->result.stop == LEAST_SQUARES_CONVERGED;
	result->stop_reason = result->interrupted
	                          ? "interrupted"
	                          : least_squares_stop_name(end->result.stop);
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
		fit_states_fill(result, end.x, end.covariance, size);
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
	status = fit_problem_create(&problem, inputs, input_count, options->seed, faults);
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
