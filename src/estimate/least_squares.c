/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/least_squares.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit_nlinear.h>

#include "estimate/jacobian.h"

#define DEFAULT_ITERATIONS 100
#define DEFAULT_DIFFERENCE_STEP 6e-6 /* cube root of the double's epsilon */
#define PROMISE_RELATIVE 1e-8
#define PROMISE_ABSOLUTE 1e-12
#define STALLED_STEPS 5

/* What a residual is taken for where the residuals cannot be computed: the cost of that trial is
 * then the largest, so the step is refused and shortened. GSL itself would stop at an error. */
#define REFUSED_RESIDUAL 1e140

/* One fit under way. */
struct run {
	const struct least_squares_problem *problem;
	const struct least_squares_options *options;
	gsl_multifit_nlinear_workspace *workspace;
	struct jacobian_analysis *analysis; /* of the present point */
	double *point;                      /* size numbers: where a difference is taken */
	double *ahead, *behind;
	bool started; /* the start had residuals */
	bool interrupted;
	bool refused_all; /* no trial since the latest iteration began had residuals */
};

const char *least_squares_stop_name(enum least_squares_stop stop)
{
	switch (stop) {
	case LEAST_SQUARES_CONVERGED:
		return "converged";
	case LEAST_SQUARES_NO_PROGRESS:
		return "no progress";
	case LEAST_SQUARES_ITERATIONS:
		return "too many iterations";
	case LEAST_SQUARES_NOT_FINITE:
		return "residuals cannot be computed";
	case LEAST_SQUARES_INTERRUPTED:
		return "interrupted";
	}
	return "unknown";
}

static bool all_finite(const double *values, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (!isfinite(values[i]))
			return false;
	return true;
}

/* --- what GSL calls ----------------------------------------------------------------------- */

static bool run_stopped(struct run *run)
{
	if (progress_stopped(run->options->progress))
		run->interrupted = true;
	return run->interrupted;
}

static bool residuals_at(struct run *run, const double *x, double *residuals)
{
	const struct least_squares_problem *problem = run->problem;

	return problem->residuals(problem->context, x, residuals) &&
	       all_finite(residuals, problem->count);
}

static int evaluate_residuals(const gsl_vector *x, void *context, gsl_vector *residuals)
{
	struct run *run = context;

	if (run_stopped(run))
		return GSL_EBADFUNC;
	if (residuals_at(run, x->data, residuals->data)) {
		run->started = true;
		run->refused_all = false;
		return GSL_SUCCESS;
	}
	if (!run->started)
		return GSL_EBADFUNC;
	gsl_vector_set_all(residuals, REFUSED_RESIDUAL);
	return GSL_SUCCESS;
}

/* Column j by a central difference, or a one-sided one where one side has no residuals. */
static bool difference_column(struct run *run, const gsl_vector *x, size_t j, gsl_matrix *jacobian)
{
	double relative = run->problem->difference_step;
	double middle = gsl_vector_get(x, j), step, high, low;

	if (!(relative > 0.0))
		relative = DEFAULT_DIFFERENCE_STEP;
	step = relative * fmax(fabs(middle), 1.0);
	high = middle + step;
	low = middle - step;
	memcpy(run->point, x->data, x->size * sizeof(double));
	run->point[j] = high;
	if (!residuals_at(run, run->point, run->ahead)) {
		run->point[j] = high = middle;
		if (!residuals_at(run, run->point, run->ahead))
			return false;
	}
	run->point[j] = low;
	if (!residuals_at(run, run->point, run->behind)) {
		run->point[j] = low = middle;
		if (high == middle || !residuals_at(run, run->point, run->behind))
			return false;
	}
	for (size_t i = 0; i < run->problem->count; i++)
		gsl_matrix_set(jacobian, i, j, (run->ahead[i] - run->behind[i]) / (high - low));
	return true;
}

static int evaluate_jacobian(const gsl_vector *x, void *context, gsl_matrix *jacobian)
{
	struct run *run = context;
	const struct least_squares_problem *problem = run->problem;

	if (run_stopped(run))
		return GSL_EBADFUNC;
	if (problem->jacobian != NULL) {
		if (!problem->jacobian(problem->context, x->data, jacobian->data))
			return GSL_EBADFUNC;
	} else {
		for (size_t j = 0; j < problem->size; j++)
			if (run_stopped(run) || !difference_column(run, x, j, jacobian))
				return GSL_EBADFUNC;
	}
	return all_finite(jacobian->data, problem->count * problem->size) ? GSL_SUCCESS
	                                                                  : GSL_EBADFUNC;
}

/* --- the iteration --------------------------------------------------------------------------- */

static double present_cost(const struct run *run)
{
	double length = gsl_blas_dnrm2(gsl_multifit_nlinear_residual(run->workspace));

	return length * length;
}

/* Analyses the Jacobian of the present point. */
static bool judge_point(struct run *run)
{
	return jacobian_analyse(run->analysis, gsl_multifit_nlinear_jac(run->workspace),
	                        gsl_multifit_nlinear_residual(run->workspace));
}

static bool at_minimum(const struct run *run, double cost)
{
	double small = fmax(PROMISE_RELATIVE * cost, PROMISE_ABSOLUTE);

	return jacobian_promise(run->analysis) <= fmax(run->options->cost_tolerance, small);
}

static bool step_small(const struct run *run)
{
	const gsl_vector *x = gsl_multifit_nlinear_position(run->workspace);
	double tolerance = run->options->step_tolerance;

	for (size_t j = 0; j < x->size; j++) {
		double step = fabs(gsl_vector_get(run->workspace->dx, j));

		if (!(step <= tolerance * (fabs(gsl_vector_get(x, j)) + tolerance)))
			return false;
	}
	return true;
}

/* After a step that lowered the cost from previous to cost: whether to end, and how. A small step
 * away from a minimum may be a damped one, so only several in a row end the fit. */
static bool step_ends(const struct run *run, double previous, double cost, size_t *stalled,
                      enum least_squares_stop *stop)
{
	const struct least_squares_options *options = run->options;
	double gradient = options->gradient_tolerance;
	bool small = step_small(run);

	*stop = LEAST_SQUARES_CONVERGED;
	if (jacobian_promise(run->analysis) <= gradient * gradient * cost)
		return true;
	if (small || (options->cost_tolerance > 0.0 && previous - cost < options->cost_tolerance)) {
		if (at_minimum(run, cost))
			return true;
	}
	*stalled = small ? *stalled + 1 : 0;
	*stop = LEAST_SQUARES_NO_PROGRESS;
	return *stalled >= STALLED_STEPS;
}

/* How an iteration that GSL gave up ended the fit. The point, its rank and its promise are still
 * those of the step before. */
static enum least_squares_stop failure_stop(const struct run *run, int gsl_status)
{
	if (run->interrupted)
		return LEAST_SQUARES_INTERRUPTED;
	if (gsl_status == GSL_EBADFUNC)
		return LEAST_SQUARES_NOT_FINITE;
	if (at_minimum(run, present_cost(run)))
		return LEAST_SQUARES_CONVERGED;
	return run->refused_all ? LEAST_SQUARES_NOT_FINITE : LEAST_SQUARES_NO_PROGRESS;
}

static enum least_squares_stop iterate(struct run *run, size_t *iterations)
{
	size_t limit = run->options->iterations > 0 ? run->options->iterations : DEFAULT_ITERATIONS;
	size_t stalled = 0;
	double cost = present_cost(run);

	if (!isfinite(cost) || !judge_point(run))
		return LEAST_SQUARES_NOT_FINITE;
	while (*iterations < limit) {
		enum least_squares_stop stop;
		double previous = cost;
		int gsl_status;

		run->refused_all = true;
		gsl_status = gsl_multifit_nlinear_iterate(run->workspace);
		if (gsl_status != GSL_SUCCESS)
			return failure_stop(run, gsl_status);
		++*iterations;
		cost = present_cost(run);
		if (!isfinite(cost) || !judge_point(run))
			return LEAST_SQUARES_NOT_FINITE;
		if (step_ends(run, previous, cost, &stalled, &stop))
			return stop;
	}
	return LEAST_SQUARES_ITERATIONS;
}

static void run_free(struct run *run)
{
	gsl_multifit_nlinear_free(run->workspace);
	jacobian_analysis_free(run->analysis);
	free(run->point);
	free(run->ahead);
	free(run->behind);
}

static enum status run_create(struct run *run, const struct least_squares_problem *problem,
                              const struct least_squares_options *options)
{
	gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters();
	size_t count = problem->count, size = problem->size;

	*run = (struct run){.problem = problem, .options = options};
	parameters.trs = gsl_multifit_nlinear_trs_lm;
	run->workspace =
	    gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &parameters, count, size);
	run->analysis = jacobian_analysis_create(count, size);
	run->point = calloc(size, sizeof(double));
	run->ahead = calloc(count, sizeof(double));
	run->behind = calloc(count, sizeof(double));
	if (run->workspace != NULL && run->analysis != NULL && run->point != NULL &&
	    run->ahead != NULL && run->behind != NULL)
		return STATUS_OK;
	run_free(run);
	return STATUS_SYSTEM;
}

/* The fit proper, with everything allocated. */
static void run_fit(struct run *run, double *x, double *covariance,
                    struct least_squares_result *result)
{
	size_t size = run->problem->size;
	gsl_vector_const_view start = gsl_vector_const_view_array(x, size);
	gsl_multifit_nlinear_fdf functions = {.f = evaluate_residuals,
	                                      .df = evaluate_jacobian,
	                                      .n = run->problem->count,
	                                      .p = size,
	                                      .params = run};

	if (gsl_multifit_nlinear_init(&start.vector, &functions, run->workspace) == GSL_SUCCESS)
		result->stop = iterate(run, &result->iterations);
	else
		result->stop =
		    run->interrupted ? LEAST_SQUARES_INTERRUPTED : LEAST_SQUARES_NOT_FINITE;
	if (run->started) {
		memcpy(x, gsl_multifit_nlinear_position(run->workspace)->data,
		       size * sizeof(double));
		result->cost = present_cost(run);
	}
	result->rank = jacobian_rank(run->analysis);
	result->promise = jacobian_promise(run->analysis);
	result->covariance_known = result->rank == size;
	if (covariance != NULL)
		jacobian_covariance(run->analysis, covariance);
}

enum status least_squares_fit(const struct least_squares_problem *problem,
                              const struct least_squares_options *options, double *x,
                              double *covariance, struct least_squares_result *result)
{
	struct run run;
	enum status status;

	*result =
	    (struct least_squares_result){.stop = LEAST_SQUARES_NOT_FINITE, .cost = (double)NAN};
	if (problem->size == 0 || problem->count < problem->size)
		return STATUS_INTERNAL;
	gsl_set_error_handler_off(); /* the default one aborts the program */
	status = run_create(&run, problem, options);
	if (status != STATUS_OK)
		return status;
	run_fit(&run, x, covariance, result);
	run_free(&run);
	return STATUS_OK;
}
