/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "base/random.h"
#include "estimate/fit_candidates.h"
#include "estimate/fit_hops.h"

#define SAMPLE 100             /* strokes that are searched by where there are too many */
#define STARTS 16              /* of one batch */
#define BATCHES_ALWAYS 2       /* one alone ended falsely in some 3 of 100 sessions */
#define BATCHES 4              /* at most; further ones where the best end is not likely */
#define ROUNDS 3               /* of searches, while the end is not likely */
#define DOUBTFUL 0.03          /* chi-square probability below which it is not */
#define LIKELY 0.05            /* chi-square probability that needs no further batch */
#define LEFT_OUT 0.125         /* share of the strokes, the worst, that may be spoiled */
#define CONSTANTS_SPREAD 0.6   /* of the starts, in standard deviations of the priors */
#define CONSTANTS_FAR_SPREAD 1.3
#define SHARED_SPREAD 0.3
#define POLISH_ROUNDS 5

/* Random streams of what the search draws, beside those of the runs (estimate/fit_candidates.c). */
#define STREAM_START 1000003

/* Streams of the runs, apart from those of the batches, which count from 0, and of the hops. */
#define RUN_STREAM_POLISH 200000

/* --- candidates from the whole prior ------------------------------------------------------------ */

/* The starts differ most in speed, which decides whether balls come as far as they did: nothing
 * draws a ball on that stops short of a rail whose contact was read. */
static void choose_start(struct search *search, size_t number, struct candidate *start)
{
	static const double speeds[] = {0.0, 1.0, 2.0, -0.5, 1.5, 0.5, 2.5, -1.0};
	const struct fit_problem *problem = search->problem;
	struct random_stream stream = random_start(problem->seed, STREAM_START + number);
	/* Every second batch looks for tables that are far from usual. */
	double spread = number / STARTS % 2 == 0 ? CONSTANTS_SPREAD : CONSTANTS_FAR_SPREAD;

	start->marginal = HUGE_VAL;
	memset(start->own, 0, problem->stroke_count * sizeof *start->own);
	for (size_t j = 0; j < search->size; j++)
		start->x[j] = number == 0 ? 0.0
		                          : random_normal(&stream) *
		                                (j < CONSTANT_COUNT ? spread : SHARED_SPREAD);
	for (size_t k = 0; k < problem->shared_count; k++)
		if (problem->shared[k].kind == SHARED_SPEED)
			start->x[CONSTANT_COUNT + k] += speeds[number % 8];
}

static bool same_end(const struct candidate *a, const struct candidate *b)
{
	double sum = 0.0;

	if (fabs(a->marginal - b->marginal) > 0.02 * (a->marginal + b->marginal) + 0.1)
		return false;
	for (size_t j = 0; j < CONSTANT_COUNT; j++)
		sum += (a->x[j] - b->x[j]) * (a->x[j] - b->x[j]);
	return sum < 0.05;
}

static int compare_candidates(const void *a, const void *b)
{
	const struct candidate *first = a, *second = b;

	return (first->marginal > second->marginal) - (first->marginal < second->marginal);
}

/* Sorts the candidates and keeps the best distinct ones, at least one. */
static void keep_best(struct search *search, size_t most)
{
	size_t kept = 1;

	qsort(search->candidates, search->count, sizeof *search->candidates, compare_candidates);
	for (size_t k = 1; k < search->count && kept < most; k++) {
		struct candidate candidate = search->candidates[k];
		bool distinct = isfinite(candidate.marginal);

		for (size_t m = 0; m < kept && distinct; m++)
			distinct = !same_end(&search->candidates[m], &candidate);
		if (!distinct)
			continue;
		search->candidates[k] = search->candidates[kept];
		search->candidates[kept++] = candidate;
	}
	search->count = kept;
}

/* A batch under way. */
struct batch {
	size_t number, stage;
};

#define STAGES 4

static const struct {
	double share;
	size_t iterations, draws, kept;
} stages[STAGES] = {{0.001, 3, 20, 5}, {0.01, 3, 20, 3}, {0.1, 4, 20, 2}, {1.0, 15, 40, 1}};

/* Runs a candidate of a batch. */
static enum status run_candidate(struct search *worker, size_t k, void *context)
{
	const struct batch *batch = context;
	struct candidate_run run = {
	    .share = stages[batch->stage].share,
	    .iterations = stages[batch->stage].iterations,
	    .draws = stages[batch->stage].draws,
	    .stream = 1 + (batch->number * STAGES + batch->stage) * STARTS + k};
	enum status status;
	double cost;

	if (candidates_stopped(worker))
		return STATUS_OK;
	candidates_load(worker, &worker->candidates[k]);
	status = candidates_run(worker, &run, &cost);
	if (status == STATUS_OK && run.share == 1.0)
		cost = fit_evidence(worker->problem, worker->end->x);
	if (status == STATUS_OK)
		candidates_store(worker, cost, &worker->candidates[k]);
	return status;
}

/* Runs a batch of starts, first with little weight on the readings, where the cost has few minima,
 * then with more and more on those that did best. */
static enum status run_batch(struct search *search, size_t number)
{
	struct batch batch = {.number = number};
	enum status status = STATUS_OK;

	search->count = STARTS;
	for (size_t k = 0; k < STARTS; k++)
		choose_start(search, number * STARTS + k, &search->candidates[k]);
	for (; batch.stage < STAGES && status == STATUS_OK; batch.stage++) {
		status = candidates_share_work(search, search->count, run_candidate, &batch);
		keep_best(search, stages[batch.stage].kept);
	}
	return status;
}

/* Whether the strokes, but for the worst, are as likely as strokes should be. */
static bool likely(struct search *search, const struct candidate *candidate)
{
	struct fit_problem *problem = search->problem;
	size_t strokes = problem->stroke_count, used = 0, readings = 0, leave;
	double *costs = calloc(strokes + 1, sizeof *costs), sum = 0.0;

	candidates_load(search, candidate);
	if (costs == NULL || !isfinite(fit_marginal(problem, search->end->x))) {
		free(costs);
		return false;
	}
	for (size_t i = 0; i < strokes; i++) {
		const struct stroke_case *stroke = &problem->strokes[i];
		size_t place = used;

		if (!stroke->used)
			continue;
		for (; place > 0 && costs[place - 1] < stroke->cost; place--)
			costs[place] = costs[place - 1];
		costs[place] = stroke->cost;
		readings += stroke->readings.count;
		used++;
	}
	leave = (size_t)(LEFT_OUT * (double)used);
	for (size_t i = leave; i < used; i++)
		sum += costs[i];
	free(costs);
	return used == 0 || gsl_cdf_chisq_Q(sum, (double)readings * (double)(used - leave) /
	                                             (double)used) > LIKELY;
}

/* --- the end nearby ----------------------------------------------------------------------------- */

enum status fit_search_polish(struct fit_problem *problem, struct fit_end *end, double *marginal)
{
	enum status status = STATUS_OK;
	struct search search;
	double cost;

	*marginal = HUGE_VAL;
	if (!candidates_create(&search, problem, end, 1))
		return STATUS_SYSTEM;
	for (int round = 0; round < POLISH_ROUNDS && status == STATUS_OK; round++) {
		double before = search.candidates[0].marginal;
		struct candidate_run run = {1.0, 15, 40, RUN_STREAM_POLISH + (uint64_t)round};

		status = candidates_run(&search, &run, &cost);
		*marginal = fit_marginal(problem, end->x);
		if (*marginal < before)
			candidates_store(&search, *marginal, &search.candidates[0]);
		if (*marginal > before - FIT_WORTH_A_ROUND || candidates_stopped(&search) ||
		    fit_problem_search(problem, end->x) == 0)
			break;
	}
	if (isfinite(search.candidates[0].marginal))
		candidates_load(&search, &search.candidates[0]);
	*marginal = search.candidates[0].marginal;
	candidates_free(&search);
	return status;
}

/* --- the search --------------------------------------------------------------------------------- */

enum status fit_search_near(struct fit_problem *problem, struct fit_end *end)
{
	struct search search;
	enum status status;
	double marginal;

	if (!candidates_create(&search, problem, end, FIT_HOPS_ROOM))
		return STATUS_SYSTEM;
	status = fit_search_polish(problem, end, &marginal);
	candidates_store(&search, fit_evidence(problem, end->x), &search.candidates[0]);
	/* Where many strokes agree there are no ends nearby. */
	if (status == STATUS_OK && problem->stroke_count <= FIT_LARGE &&
	    !candidates_stopped(&search))
		status = fit_hops(&search);
	candidates_free(&search);
	return status;
}

/* The best of the starts of a round's batches, polished and hopped about. */
static enum status search_round(struct fit_problem *problem, struct fit_end *end, size_t round)
{
	struct search search;
	struct candidate *best;
	enum status status = STATUS_OK;

	if (!candidates_create(&search, problem, end, STARTS + 1))
		return STATUS_SYSTEM;
	best = &search.candidates[STARTS];
	for (size_t batch = 0; batch < BATCHES && status == STATUS_OK; batch++) {
		status = run_batch(&search, round * BATCHES + batch);
		if (batch == 0 || search.candidates[0].marginal < best->marginal) {
			candidates_load(&search, &search.candidates[0]);
			candidates_store(&search, search.candidates[0].marginal, best);
		}
		candidates_tell(&search, 0.12 * (double)(batch + 1));
		if (candidates_stopped(&search) ||
		    (batch + 1 >= BATCHES_ALWAYS && likely(&search, best)))
			break;
	}
	candidates_load(&search, best);
	candidates_free(&search);
	return status == STATUS_OK ? fit_search_near(problem, end) : status;
}

/* How likely so large a chi-square of all strokes is, at the state that fit_marginal was told last. */
static double likelihood(const struct fit_problem *problem)
{
	double sum = 0.0, readings = 1e-9;

	for (size_t i = 0; i < problem->stroke_count; i++) {
		if (!problem->strokes[i].used)
			continue;
		sum += problem->strokes[i].cost;
		readings += (double)problem->strokes[i].readings.count;
	}
	return gsl_cdf_chisq_Q(sum, readings);
}

/* An end that is not likely may be due to a spoiled stroke, or be a wrong table that nearly explains
 * all: only other starts can tell. */
static enum status search_rounds(struct fit_problem *problem, struct fit_end *end)
{
	struct search search;
	struct candidate *best;
	enum status status;

	if (!candidates_create(&search, problem, end, 1))
		return STATUS_SYSTEM;
	best = &search.candidates[0];
	status = search_round(problem, end, 0);
	if (status == STATUS_OK)
		candidates_store(&search, fit_evidence(problem, end->x), best);
	for (size_t round = 1; round < ROUNDS && status == STATUS_OK && !candidates_stopped(&search) &&
	                       likelihood(problem) < DOUBTFUL;
	     round++) {
		double marginal;

		status = search_round(problem, end, round);
		marginal = fit_evidence(problem, end->x);
		if (status == STATUS_OK && marginal < best->marginal)
			candidates_store(&search, marginal, best);
		candidates_load(&search, best);
		fit_marginal(problem, end->x);
	}
	candidates_free(&search);
	return status;
}

/* Searches by some of the strokes, then brings all of them to the end that they lead to. */
static enum status search_sample(struct fit_problem *problem, struct fit_end *end)
{
	size_t *chosen = calloc(problem->stroke_count, sizeof *chosen);
	struct fit_problem sample;
	enum status status = STATUS_SYSTEM;
	double marginal;

	if (chosen != NULL && fit_problem_sample(problem, SAMPLE, &sample, chosen)) {
		status = search_rounds(&sample, end);
		for (size_t k = 0; k < sample.stroke_count; k++)
			memcpy(problem->strokes[chosen[k]].own, sample.strokes[k].own,
			       sizeof sample.strokes[k].own);
		fit_problem_free(&sample);
	}
	free(chosen);
	return status == STATUS_OK ? fit_search_polish(problem, end, &marginal) : status;
}

enum status fit_search(struct fit_problem *problem, struct fit_end *end)
{
	return problem->stroke_count > FIT_LARGE ? search_sample(problem, end)
	                                         : search_rounds(problem, end);
}
