/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_eigen.h>

#include "base/random.h"
#include "estimate/fit_candidates.h"
#include "estimate/fit_joint.h"

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
#define WORTH_A_ROUND 0.3      /* fall of the marginal */
#define HOPS_IN_VAIN 14        /* hops without WORTH_A_ROUND that end the search */
#define HOPS_MOST 40

/* Random streams of what the search draws, beside those of the runs (estimate/fit_candidates.c). */
enum { STREAM_START = 1000003, STREAM_HOP = 2000003 };

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

/* Runs a batch of starts, first with little weight on the readings, where the cost has few minima,
 * then with more and more on those that did best. */
static enum status run_batch(struct search *search, size_t batch)
{
	static const struct {
		double share;
		size_t iterations, draws, kept;
	} stages[] = {{0.001, 3, 20, 5}, {0.01, 3, 20, 3}, {0.1, 4, 20, 2}, {1.0, 15, 40, 1}};
	enum status status = STATUS_OK;

	search->count = STARTS;
	for (size_t k = 0; k < STARTS; k++)
		choose_start(search, batch * STARTS + k, &search->candidates[k]);
	for (size_t stage = 0; stage < sizeof stages / sizeof stages[0]; stage++) {
		for (size_t k = 0; k < search->count && status == STATUS_OK && !candidates_stopped(search);
		     k++) {
			double cost;

			candidates_load(search, &search->candidates[k]);
			status = candidates_run(search, stages[stage].share, stages[stage].iterations,
			             stages[stage].draws, &cost);
			if (stages[stage].share == 1.0)
				cost = fit_marginal(search->problem, search->end->x);
			candidates_store(search, cost, &search->candidates[k]);
		}
		keep_best(search, stages[stage].kept);
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

/* --- the ends about one ------------------------------------------------------------------------- */

/* Eigenvectors of the covariance of the linearised problem, each as long as its standard deviation,
 * by rows. False when they cannot be told. */
static bool find_directions(struct search *search, double *directions)
{
	size_t size = search->size;
	gsl_eigen_symmv_workspace *workspace = gsl_eigen_symmv_alloc(size);
	gsl_matrix *precision = gsl_matrix_alloc(size, size), *vectors = gsl_matrix_alloc(size, size);
	gsl_vector *values = gsl_vector_alloc(size);
	bool found = workspace != NULL && precision != NULL && vectors != NULL && values != NULL &&
	             fit_joint_precision(search->problem, search->end->x, precision->data) ==
	                 STATUS_OK &&
	             gsl_eigen_symmv(precision, values, vectors, workspace) == 0;

	for (size_t k = 0; found && k < size; k++)
		for (size_t j = 0; j < size; j++)
			directions[k * size + j] = gsl_matrix_get(vectors, j, k) /
			                           sqrt(fmax(1.0, gsl_vector_get(values, k)));
	gsl_eigen_symmv_free(workspace);
	gsl_matrix_free(precision);
	gsl_matrix_free(vectors);
	gsl_vector_free(values);
	return found;
}

/* Draws outer unknowns about the candidate, so many standard errors away, and falls from there. */
static enum status hop(struct search *search, const struct candidate *from, double length,
                       struct random_stream *stream, const double *directions, double *marginal)
{
	enum status status;
	double cost;

	candidates_load(search, from);
	for (size_t k = 0; k < search->size; k++) {
		double z = length * random_normal(stream);

		for (size_t j = 0; j < search->size; j++)
			search->end->x[j] += z * directions[k * search->size + j];
	}
	status = candidates_run(search, 0.1, 3, 20, &cost);
	if (status == STATUS_OK)
		status = candidates_run(search, 1.0, 12, 40, &cost);
	*marginal = fit_marginal(search->problem, search->end->x);
	return status;
}

static enum status search_about(struct search *search, struct candidate *best)
{
	static const double lengths[] = {2.5, 1.2, 4.0};
	double *directions = calloc(search->size * search->size, sizeof *directions);
	struct random_stream stream = random_start(search->problem->seed, STREAM_HOP);
	enum status status = directions != NULL ? STATUS_OK : STATUS_SYSTEM;
	int vain = 0;

	candidates_load(search, best);
	if (status == STATUS_OK && !find_directions(search, directions))
		vain = HOPS_IN_VAIN;
	for (size_t k = 0; k < HOPS_MOST && vain < HOPS_IN_VAIN && status == STATUS_OK &&
	                   !candidates_stopped(search);
	     k++) {
		double marginal, before = best->marginal;

		status = hop(search, best, lengths[k % 3], &stream, directions, &marginal);
		if (status == STATUS_OK && marginal < before)
			candidates_store(search, marginal, best);
		vain = marginal < before - WORTH_A_ROUND ? 0 : vain + 1;
		candidates_tell(search, 0.5 + 0.5 * (double)k / HOPS_MOST);
	}
	free(directions);
	candidates_load(search, best);
	return status;
}

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

		status = candidates_run(&search, 1.0, 15, 40, &cost);
		*marginal = fit_marginal(problem, end->x);
		if (*marginal < before)
			candidates_store(&search, *marginal, &search.candidates[0]);
		if (*marginal > before - WORTH_A_ROUND || candidates_stopped(&search) ||
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

	if (!candidates_create(&search, problem, end, 1))
		return STATUS_SYSTEM;
	status = fit_search_polish(problem, end, &marginal);
	candidates_store(&search, marginal, &search.candidates[0]);
	if (status == STATUS_OK && !candidates_stopped(&search))
		status = search_about(&search, &search.candidates[0]);
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
enum status fit_search(struct fit_problem *problem, struct fit_end *end)
{
	struct search search;
	struct candidate *best;
	enum status status;

	if (!candidates_create(&search, problem, end, 1))
		return STATUS_SYSTEM;
	best = &search.candidates[0];
	status = search_round(problem, end, 0);
	if (status == STATUS_OK)
		candidates_store(&search, fit_marginal(problem, end->x), best);
	for (size_t round = 1; round < ROUNDS && status == STATUS_OK && !candidates_stopped(&search) &&
	                       likelihood(problem) < DOUBTFUL;
	     round++) {
		double marginal;

		status = search_round(problem, end, round);
		marginal = fit_marginal(problem, end->x);
		if (status == STATUS_OK && marginal < best->marginal)
			candidates_store(&search, marginal, best);
		candidates_load(&search, best);
		fit_marginal(problem, end->x);
	}
	candidates_free(&search);
	return status;
}
