/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/posterior.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/parallel.h"
#include "estimate/fit_extras.h"
#include "estimate/stroke_mixture.h"

#define CHAINS 4
#define SETTLE 60       /* steps of a chain before it counts */
#define TRIAL_KEEP 60   /* steps that only tell where the middle is */
#define FINAL_KEEP 250
#define TRIALS 2        /* rounds, at most, before the one that is kept */
#define MOVED 0.3       /* of its spread, by which a constant's middle may be off the point where the
                           strokes were made; with so few draws it is known to about half of that */
#define INSIDE 1e-6     /* standardised distance from a limit that a start keeps */

/* The marginal likelihoods of all strokes, and the box of the constants. */
struct marginal {
	struct fit_problem *problem;
	const double *x;
	uint64_t seed;
	size_t size, work_size;
	struct stroke_mixture *strokes; /* as many as the problem has; no draws: not in use */
	double lowest[CONSTANT_COUNT], highest[CONSTANT_COUNT]; /* standardised */
};

static void make_stroke(size_t number, void *context)
{
	struct marginal *marginal = context;
	struct stroke_case *stroke = &marginal->problem->strokes[number];
	struct stroke_point point = fit_problem_point(stroke, marginal->x);

	stroke_mixture_free(&marginal->strokes[number]);
	if (!stroke->used || progress_stopped(marginal->problem->progress))
		return;
	stroke_mixture_make(&marginal->strokes[number], stroke, &point, marginal->seed, stroke->own);
}

/* Makes all strokes' marginals at x. False when none could be made. */
static bool make_strokes(struct marginal *marginal, const double *x, uint64_t seed,
                         unsigned threads)
{
	bool any = false;

	marginal->x = x;
	marginal->seed = seed;
	marginal->work_size = 1;
	parallel_run(marginal->problem->stroke_count, threads, make_stroke, marginal);
	for (size_t i = 0; i < marginal->problem->stroke_count; i++) {
		size_t work = stroke_mixture_work(&marginal->strokes[i]);

		any = any || marginal->strokes[i].draw_count > 0;
		if (marginal->work_size < work)
			marginal->work_size = work;
	}
	return any;
}

static bool within_limits(const struct marginal *marginal, const double *x)
{
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (!(x[id] > marginal->lowest[id] && x[id] < marginal->highest[id]))
			return false;
	return true;
}

/* For struct chain_target. */
static double log_density(void *context, const double *x, double *gradient)
{
	const struct marginal *marginal = context;
	double sum = 0.0, *work;

	if (!within_limits(marginal, x))
		return -HUGE_VAL;
	work = malloc(marginal->work_size * sizeof *work);
	if (work == NULL)
		return -HUGE_VAL;
	for (size_t j = 0; j < marginal->size; j++) {
		sum -= 0.5 * x[j] * x[j];
		gradient[j] = -x[j];
	}
	sum += fit_extras_log_prior(marginal->problem, x, gradient);
	for (size_t i = 0; sum > -HUGE_VAL && i < marginal->problem->stroke_count; i++)
		if (marginal->strokes[i].draw_count > 0)
			sum += stroke_mixture_log(&marginal->strokes[i], x, gradient, work, NULL);
	free(work);
	return sum;
}

static void set_limits(struct marginal *marginal)
{
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)id);
		bool open = prior->scale != SCALE_LOG && prior->highest >= 1.0;

		marginal->lowest[id] = prior_coordinate((enum constant_id)id, prior->lowest);
		marginal->highest[id] =
		    open ? HUGE_VAL : prior_coordinate((enum constant_id)id, prior->highest);
	}
}

static void step_inside(const struct marginal *marginal, double *x)
{
	for (int id = 0; id < CONSTANT_COUNT; id++)
		x[id] = fmin(marginal->highest[id] - INSIDE,
		             fmax(marginal->lowest[id] + INSIDE, x[id]));
	fit_extras_step_inside(marginal->problem, x);
}

static void fill_metric(const struct marginal *marginal, double *metric)
{
	size_t size = marginal->size;

	memset(metric, 0, size * size * sizeof *metric);
	for (size_t j = 0; j < size; j++)
		metric[j * size + j] = 1.0;
	for (size_t i = 0; i < marginal->problem->stroke_count; i++)
		if (marginal->strokes[i].draw_count > 0)
			stroke_mixture_normal(&marginal->strokes[i], size, metric);
}

static void find_mean(const struct posterior *posterior, size_t count, double *mean)
{
	for (size_t j = 0; j < posterior->size; j++) {
		mean[j] = 0.0;
		for (size_t k = 0; k < count; k++)
			mean[j] += posterior->draws[k * posterior->size + j] / (double)count;
	}
}

/* By how much at most, of its spread in the draws, a constant's middle is off a point. */
static double farthest(const struct posterior *posterior, size_t count, const double *mean,
                       const double *x)
{
	double most = 0.0;

	for (size_t j = 0; j < CONSTANT_COUNT; j++) {
		double squares = 0.0;

		for (size_t k = 0; k < count; k++) {
			double off = posterior->draws[k * posterior->size + j] - mean[j];

			squares += off * off / (double)count;
		}
		most = fmax(most, fabs(mean[j] - x[j]) / sqrt(squares));
	}
	return most;
}

/* One round of marginals, made at x, and chains from there. */
static enum status run_round(struct marginal *marginal, const double *x, double *metric,
                             const struct chain_wish *wish, struct posterior *posterior)
{
	struct chain_target target = {marginal->size, log_density, marginal};

	if (!make_strokes(marginal, x, wish->seed, wish->threads))
		return progress_stopped(wish->progress) ? STATUS_INTERRUPTED
		                                        : STATUS_NOT_CONVERGED;
	fill_metric(marginal, metric);
	return chains_run(&target, x, metric, wish, posterior->draws, &posterior->report);
}

/* Rounds about the middle of the draws before, until that hardly moves; then the one that counts.
 * mean: room for as many numbers as x. */
static enum status run_rounds(struct marginal *marginal, double *x, double *mean, double *metric,
                              unsigned threads, struct posterior *posterior)
{
	struct chain_wish wish = {.chains = CHAINS,
	                          .settle = SETTLE,
	                          .keep = TRIAL_KEEP,
	                          .seed = marginal->problem->seed,
	                          .threads = threads,
	                          .progress = marginal->problem->progress};
	enum status status = STATUS_OK;
	double moved = HUGE_VAL;

	for (int trial = 0; trial < TRIALS && status == STATUS_OK && moved > MOVED; trial++) {
		status = run_round(marginal, x, metric, &wish, posterior);
		if (status != STATUS_OK)
			break;
		find_mean(posterior, wish.chains * wish.keep, mean);
		moved = farthest(posterior, wish.chains * wish.keep, mean, x);
		memcpy(x, mean, marginal->size * sizeof *x);
		wish.seed++;
	}
	wish.keep = FINAL_KEEP;
	return status == STATUS_OK ? run_round(marginal, x, metric, &wish, posterior) : status;
}

/* How likely each stroke went right, over every tenth draw. */
static bool find_right(const struct marginal *marginal, struct posterior *posterior)
{
	double *work = malloc(marginal->work_size * sizeof *work);
	size_t every = 10;

	if (work == NULL)
		return false;
	for (size_t i = 0; i < marginal->problem->stroke_count; i++) {
		double sum = 0.0, share;

		posterior->right[i] = 1.0;
		if (marginal->strokes[i].draw_count == 0)
			continue;
		for (size_t k = 0; k < posterior->count; k += every) {
			stroke_mixture_log(&marginal->strokes[i],
			                   posterior->draws + k * posterior->size, NULL, work,
			                   &share);
			sum += share;
		}
		posterior->right[i] = sum / (double)((posterior->count + every - 1) / every);
	}
	free(work);
	return true;
}

enum status posterior_draw(struct fit_problem *problem, const double *x, unsigned threads,
                           struct posterior *posterior)
{
	size_t size = fit_problem_size(problem);
	struct marginal marginal = {.problem = problem, .size = size};
	double *reference = calloc(2 * size, sizeof *reference);
	double *metric = calloc(size * size, sizeof *metric);
	enum status status = STATUS_SYSTEM;

	*posterior = (struct posterior){.count = CHAINS * FINAL_KEEP, .size = size};
	posterior->draws = calloc(posterior->count * size, sizeof(double));
	posterior->right = calloc(problem->stroke_count + 1, sizeof(double));
	marginal.strokes = calloc(problem->stroke_count + 1, sizeof *marginal.strokes);
	if (reference != NULL && metric != NULL && posterior->draws != NULL &&
	    posterior->right != NULL && marginal.strokes != NULL) {
		memcpy(reference, x, size * sizeof *reference);
		set_limits(&marginal);
		step_inside(&marginal, reference);
		status = run_rounds(&marginal, reference, reference + size, metric, threads,
		                    posterior);
	}
	if (status == STATUS_OK && !find_right(&marginal, posterior))
		status = STATUS_SYSTEM;
	for (size_t i = 0; marginal.strokes != NULL && i < problem->stroke_count; i++)
		stroke_mixture_free(&marginal.strokes[i]);
	free(marginal.strokes);
	free(reference);
	free(metric);
	if (status != STATUS_OK)
		posterior_free(posterior);
	return status;
}

void posterior_free(struct posterior *posterior)
{
	free(posterior->draws);
	free(posterior->right);
	*posterior = (struct posterior){.draws = NULL};
}
