/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_hops.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_eigen.h>

#include "base/random.h"
#include "estimate/fit_joint.h"
#include "estimate/fit_search.h"

#define IN_VAIN 20 /* hops without FIT_WORTH_A_ROUND that end the search */
#define MOST 60

/* Random streams of where the hops lead, and of the runs from there. */
#define STREAM_HOP 2000003
#define RUN_STREAM 100000

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

/* Hops that start from the same state, candidate 0; where each ends is the candidate of its number,
 * from 1. */
struct hops {
	const double *directions;
	size_t done; /* hops before these */
};

/* Draws outer unknowns about the state, some standard errors away, and falls from there. */
static enum status hop(struct search *worker, size_t index, void *context)
{
	static const double lengths[] = {2.5, 1.2, 4.0, 1.2};
	const struct hops *hops = context;
	size_t number = hops->done + index;
	struct random_stream stream = random_start(worker->problem->seed, STREAM_HOP + number);
	struct candidate_run run = {0.1, 3, 20, RUN_STREAM + 2 * number};
	enum status status;
	double cost;

	candidates_load(worker, &worker->candidates[0]);
	for (size_t k = 0; k < worker->size; k++) {
		double z = lengths[number % 4] * random_normal(&stream);

		for (size_t j = 0; j < worker->size; j++)
			worker->end->x[j] += z * hops->directions[k * worker->size + j];
	}
	status = candidates_run(worker, &run, &cost);
	run = (struct candidate_run){1.0, 12, 40, RUN_STREAM + 2 * number + 1};
	if (status == STATUS_OK)
		status = candidates_run(worker, &run, &cost);
	if (status == STATUS_OK)
		candidates_store(worker, fit_evidence(worker->problem, worker->end->x),
		                 &worker->candidates[1 + index]);
	return status;
}

/* Hops until that does not help; candidate 0 receives the best end. */
static enum status hop_on(struct search *search, const double *directions)
{
	struct hops hops = {.directions = directions};
	enum status status = STATUS_OK;
	size_t vain = 0;

	while (hops.done < MOST && vain < IN_VAIN && !candidates_stopped(search)) {
		status = candidates_share_work(search, FIT_HOPS, hop, &hops);
		if (status != STATUS_OK)
			break;
		for (size_t k = 1; k <= FIT_HOPS; k++) {
			double before = search->candidates[0].marginal;
			double marginal = search->candidates[k].marginal;

			if (marginal < before)
				candidates_copy(search, &search->candidates[k],
				                &search->candidates[0]);
			vain = marginal < before - FIT_WORTH_A_ROUND ? 0 : vain + 1;
		}
		hops.done += FIT_HOPS;
		candidates_tell(search, 0.5 + 0.5 * (double)hops.done / MOST);
	}
	return status;
}

enum status fit_hops(struct search *search)
{
	double *directions = calloc(search->size * search->size, sizeof *directions);
	enum status status = directions != NULL ? STATUS_OK : STATUS_SYSTEM;

	candidates_load(search, &search->candidates[0]);
	if (status == STATUS_OK && find_directions(search, directions))
		status = hop_on(search, directions);
	free(directions);
	candidates_load(search, &search->candidates[0]);
	return status;
}
