/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/chains.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#include "base/parallel.h"
#include "base/random.h"

#define LEAPS 12           /* of a step, at most: their number is drawn, so that no orbit closes */
#define FIRST_LENGTH 0.3   /* of a leap, where the metric makes the density about round */
#define SHORTEST 0.02
#define LONGEST 1.0
#define WANTED 0.85        /* share of steps accepted that the length is adapted to */
#define ADAPTED 0.15       /* by how much, per step */
/* Of that length, what the leaps of a step may have: where the density is more curved than the
 * metric tells, only short ones lead in and out (Neal 2011, 5.4.2.2). */
#define LEAST_SHARE 0.12
#define MOST_SHARE 1.2

/* One chain under way: where it is, and room for where it goes. */
struct chain {
	const struct chain_target *target;
	const gsl_matrix *root; /* inverse transposed Cholesky factor of the metric */
	struct random_stream stream;
	double *x, *gradient, log_density;
	double *next, *next_gradient, next_log;
	double *momentum, *scratch;
	double length;
};

struct run {
	const struct chain_target *target;
	const struct chain_wish *wish;
	const double *start;
	gsl_matrix *root;
	double *draws;
	double *accepted; /* share, of each chain */
	bool *failed;
};

static bool chain_create(struct chain *chain, const struct run *run, size_t number)
{
	size_t size = run->target->size;
	double *space = calloc(6 * size, sizeof *space);

	*chain = (struct chain){.target = run->target,
	                        .root = run->root,
	                        .stream = random_start(run->wish->seed, number),
	                        .x = space,
	                        .length = FIRST_LENGTH};
	if (space == NULL)
		return false;
	chain->gradient = space + size;
	chain->next = space + 2 * size;
	chain->next_gradient = space + 3 * size;
	chain->momentum = space + 4 * size;
	chain->scratch = space + 5 * size;
	memcpy(chain->x, run->start, size * sizeof(double));
	chain->log_density =
	    run->target->log_density(run->target->context, chain->x, chain->gradient);
	return true;
}

static double energy(const struct chain *chain, double log_density)
{
	double sum = -log_density;

	for (size_t j = 0; j < chain->target->size; j++)
		sum += 0.5 * chain->momentum[j] * chain->momentum[j];
	return sum;
}

/* momentum += length root' gradient: the momentum belongs to coordinates in which the metric is
 * the identity. */
static void kick(struct chain *chain, double length)
{
	gsl_vector_view gradient = gsl_vector_view_array(chain->next_gradient, chain->target->size);
	gsl_vector_view momentum = gsl_vector_view_array(chain->momentum, chain->target->size);

	gsl_blas_dgemv(CblasTrans, length, chain->root, &gradient.vector, 1.0, &momentum.vector);
}

static void drift(struct chain *chain, double length)
{
	gsl_vector_view x = gsl_vector_view_array(chain->next, chain->target->size);
	gsl_vector_view momentum = gsl_vector_view_array(chain->momentum, chain->target->size);

	gsl_blas_dgemv(CblasNoTrans, length, chain->root, &momentum.vector, 1.0, &x.vector);
}

/* A path of some leaps from x; false when it leaves where the density is not zero. */
static bool follow(struct chain *chain)
{
	double length = chain->length * MOST_SHARE *
	                pow(LEAST_SHARE / MOST_SHARE, random_uniform(&chain->stream));
	int leaps = 1 + (int)(LEAPS * random_uniform(&chain->stream));

	for (int leap = 0; leap < leaps; leap++) {
		kick(chain, 0.5 * length);
		drift(chain, length);
		chain->next_log = chain->target->log_density(chain->target->context, chain->next,
		                                             chain->next_gradient);
		if (!isfinite(chain->next_log))
			return false;
		kick(chain, 0.5 * length);
	}
	return true;
}

/* One step. Returns whether the chain moved. */
static bool step(struct chain *chain)
{
	size_t size = chain->target->size;
	double before, chance;

	for (size_t j = 0; j < size; j++)
		chain->momentum[j] = random_normal(&chain->stream);
	before = energy(chain, chain->log_density);
	memcpy(chain->next, chain->x, size * sizeof(double));
	memcpy(chain->next_gradient, chain->gradient, size * sizeof(double));
	if (!follow(chain))
		return false;
	chance = log1p(-random_uniform(&chain->stream));
	if (!(chance < before - energy(chain, chain->next_log)))
		return false;
	memcpy(chain->x, chain->next, size * sizeof(double));
	memcpy(chain->gradient, chain->next_gradient, size * sizeof(double));
	chain->log_density = chain->next_log;
	return true;
}

static void adapt(struct chain *chain, bool moved)
{
	double length = chain->length * exp(ADAPTED * ((moved ? 1.0 : 0.0) - WANTED));

	chain->length = fmin(LONGEST, fmax(SHORTEST, length));
}

static void run_chain(size_t number, void *context)
{
	struct run *run = context;
	size_t size = run->target->size, keep = run->wish->keep, moved = 0;
	struct chain chain;

	run->failed[number] = true;
	if (!chain_create(&chain, run, number))
		return;
	for (size_t k = 0; k < run->wish->settle + keep; k++) {
		bool moves;

		if (progress_stopped(run->wish->progress))
			break;
		moves = step(&chain);
		if (k < run->wish->settle) {
			adapt(&chain, moves);
			continue;
		}
		moved += moves;
		memcpy(run->draws + (number * keep + k - run->wish->settle) * size, chain.x,
		       size * sizeof(double));
	}
	run->accepted[number] = (double)moved / (double)keep;
	run->failed[number] = false;
	free(chain.x);
}

/* Ratio of the spread of all draws of an unknown to the mean spread within the chains. */
static double spread_ratio(const struct run *run, size_t j)
{
	size_t size = run->target->size, keep = run->wish->keep, chains = run->wish->chains;
	double mean = 0.0, within = 0.0, between = 0.0;

	for (size_t k = 0; k < chains * keep; k++)
		mean += run->draws[k * size + j] / (double)(chains * keep);
	for (size_t c = 0; c < chains; c++) {
		double own = 0.0;

		for (size_t k = 0; k < keep; k++)
			own += run->draws[(c * keep + k) * size + j] / (double)keep;
		for (size_t k = 0; k < keep; k++) {
			double off = run->draws[(c * keep + k) * size + j] - own;

			within += off * off / (double)(chains * keep);
		}
		between += (own - mean) * (own - mean) / (double)(chains - 1);
	}
	return within > 0.0 ? sqrt(1.0 + between / within) : HUGE_VAL;
}

static enum status tell(const struct run *run, struct chain_report *report)
{
	*report = (struct chain_report){.mixing = 1.0};
	if (progress_stopped(run->wish->progress))
		return STATUS_INTERRUPTED;
	for (size_t c = 0; c < run->wish->chains; c++) {
		if (run->failed[c])
			return STATUS_SYSTEM;
		report->accepted += run->accepted[c] / (double)run->wish->chains;
	}
	for (size_t j = 0; j < run->target->size; j++)
		report->mixing = fmax(report->mixing, spread_ratio(run, j));
	return STATUS_OK;
}

static enum status run_all(struct run *run, const double *metric, struct chain_report *report)
{
	size_t size = run->target->size;
	gsl_matrix_const_view given = gsl_matrix_const_view_array(metric, size, size);
	gsl_matrix_view root = gsl_matrix_submatrix(run->root, 0, 0, size, size);

	/* With M = L L', root = L^-T: x = root z is round where x has the covariance M^-1. */
	for (size_t j = 0; j < size * size; j++)
		if (!isfinite(metric[j]))
			return STATUS_INTERNAL;
	gsl_matrix_transpose_memcpy(&root.matrix, &given.matrix);
	if (gsl_linalg_cholesky_decomp1(&root.matrix) != 0 ||
	    gsl_linalg_tri_invert(CblasLower, CblasNonUnit, &root.matrix) != 0)
		return STATUS_INTERNAL;
	for (size_t i = 0; i < size; i++)
		for (size_t k = 0; k < i; k++) {
			gsl_matrix_set(&root.matrix, k, i, gsl_matrix_get(&root.matrix, i, k));
			gsl_matrix_set(&root.matrix, i, k, 0.0);
		}
	if (parallel_run(run->wish->chains, run->wish->threads, run_chain, run) != STATUS_OK)
		return STATUS_INTERNAL;
	return tell(run, report);
}

enum status chains_run(const struct chain_target *target, const double *start,
                       const double *metric, const struct chain_wish *wish, double *draws,
                       struct chain_report *report)
{
	struct run run = {.target = target, .wish = wish, .start = start, .draws = draws};
	double *gradient = calloc(target->size, sizeof *gradient);
	enum status status = STATUS_SYSTEM;

	gsl_set_error_handler_off(); /* the default one aborts the program */
	run.root = gsl_matrix_alloc(target->size, target->size);
	run.accepted = calloc(wish->chains, sizeof *run.accepted);
	run.failed = calloc(wish->chains, sizeof *run.failed);
	if (gradient != NULL && run.root != NULL && run.accepted != NULL && run.failed != NULL) {
		bool usable = wish->chains >= 2 && wish->keep >= 2 &&
		              isfinite(target->log_density(target->context, start, gradient));

		status = usable ? run_all(&run, metric, report) : STATUS_INTERNAL;
	}
	gsl_matrix_free(run.root);
	free(run.accepted);
	free(run.failed);
	free(gradient);
	return status;
}
