/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/drawn_constants.h"

#include <math.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_eigen.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

#include "estimate/coverage.h"
#include "estimate/fit_extras.h"
#include "estimate/posterior.h"

/* Hard limits on the fitted scale. */
struct limits {
	double low, high;
};

static struct limits find_limits(enum constant_id id)
{
	const struct constant_prior *prior = constant_prior(id);
	bool open = prior->scale != SCALE_LOG && prior->highest >= 1.0;

	return (struct limits){constant_to_scale(id, prior->lowest),
	                       open ? HUGE_VAL : constant_to_scale(id, prior->highest)};
}

/* Takes the draws of the constants to their fitted scales. */
static enum status take_draws(const struct fit_problem *problem, const struct posterior *posterior,
                              struct fit_result *result)
{
	result->draws = arena_allocate(result->arena, posterior->count * sizeof *result->draws);
	if (result->draws == NULL)
		return STATUS_SYSTEM;
	result->draw_count = posterior->count;
	for (size_t k = 0; k < posterior->count; k++)
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			const struct constant_prior *prior = constant_prior((enum constant_id)id);

			result->draws[k][id] =
			    constant_to_scale((enum constant_id)id, prior->centre) +
			    prior->spread * posterior->draws[k * posterior->size + (size_t)id];
		}
	return fit_extras_take(problem, posterior, result) ? STATUS_OK : STATUS_SYSTEM;
}

/* Lists the strokes in use that are more likely to have gone wrong than right. */
static enum status take_doubted(const struct fit_problem *problem,
                                const struct posterior *posterior, struct fit_result *result)
{
	size_t capacity = 0;

	for (size_t i = 0; i < problem->stroke_count; i++) {
		const struct stroke_case *stroke = &problem->strokes[i];
		struct fit_doubted *grown;

		if (!stroke->used || !(posterior->right[i] < FIT_DOUBTED))
			continue;
		grown = arena_grow(result->arena, result->doubted, result->doubted_count,
		                   &capacity, sizeof *grown);
		if (grown == NULL)
			return STATUS_SYSTEM;
		result->doubted = grown;
		grown[result->doubted_count++] =
		    (struct fit_doubted){stroke->file, stroke->row->line, stroke->row->shot,
		                         posterior->right[i]};
	}
	return STATUS_OK;
}

enum status drawn_constants_take(struct fit_problem *problem, const double *x,
                                 struct fit_result *result)
{
	struct posterior posterior;
	enum status status = posterior_draw(problem, x, problem->threads, &posterior);

	if (status == STATUS_OK) {
		status = take_draws(problem, &posterior, result);
		if (status == STATUS_OK)
			status = take_doubted(problem, &posterior, result);
		posterior_free(&posterior);
	} else if (status == STATUS_INTERRUPTED) {
		result->interrupted = true;
		result->converged = false;
		result->stop_reason = "interrupted";
		status = STATUS_OK;
	} else if (status != STATUS_SYSTEM) {
		result->converged = false;
		result->stop_reason = "what is known cannot be drawn from the best point";
		status = STATUS_OK;
	}
	return status;
}

static void find_centre(struct fit_result *result)
{
	for (size_t i = 0; i < CONSTANT_COUNT; i++) {
		result->centre[i] = 0.0;
		for (size_t k = 0; k < result->draw_count; k++)
			result->centre[i] += result->draws[k][i] / (double)result->draw_count;
	}
}

static void find_covariance(struct fit_result *result)
{
	for (size_t i = 0; i < CONSTANT_COUNT; i++)
		for (size_t j = 0; j < CONSTANT_COUNT; j++) {
			double sum = 0.0;

			for (size_t k = 0; k < result->draw_count; k++)
				sum += (result->draws[k][i] - result->centre[i]) *
				       (result->draws[k][j] - result->centre[j]);
			result->covariance[i][j] = sum / ((double)result->draw_count - 1.0);
		}
}

/* By how much each part of a draw's way from the centre moves each other: along every principal
 * axis of the covariance, standardised on the priors, the readings' part 1/v - 1 of its inverse
 * variance becomes smaller by factor, and the prior's part stays. False when memory is out. */
static bool find_stretch(const struct fit_result *result, double factor, gsl_matrix *stretch)
{
	gsl_matrix *covariance = gsl_matrix_alloc(CONSTANT_COUNT, CONSTANT_COUNT);
	gsl_matrix *axes = gsl_matrix_alloc(CONSTANT_COUNT, CONSTANT_COUNT);
	gsl_vector *values = gsl_vector_alloc(CONSTANT_COUNT);
	gsl_eigen_symmv_workspace *workspace = gsl_eigen_symmv_alloc(CONSTANT_COUNT);
	bool found = covariance != NULL && axes != NULL && values != NULL && workspace != NULL;

	for (size_t i = 0; found && i < CONSTANT_COUNT; i++)
		for (size_t j = 0; j < CONSTANT_COUNT; j++)
			gsl_matrix_set(covariance, i, j,
			               result->covariance[i][j] /
			                   constant_prior((enum constant_id)i)->spread /
			                   constant_prior((enum constant_id)j)->spread);
	found = found && gsl_eigen_symmv(covariance, values, axes, workspace) == 0;
	gsl_matrix_set_zero(stretch);
	for (size_t a = 0; found && a < CONSTANT_COUNT; a++) {
		gsl_vector_view axis = gsl_matrix_column(axes, a);
		double v = fmin(1.0, fmax(0.0, gsl_vector_get(values, a)));

		gsl_blas_dger(1.0 / sqrt(v + (1.0 - v) / factor), &axis.vector, &axis.vector,
		              stretch);
	}
	gsl_matrix_free(covariance);
	gsl_matrix_free(axes);
	gsl_vector_free(values);
	gsl_eigen_symmv_free(workspace);
	return found;
}

static void widen(struct fit_result *result, const gsl_matrix *stretch)
{
	for (size_t k = 0; k < result->draw_count; k++) {
		double away[CONSTANT_COUNT];

		for (int id = 0; id < CONSTANT_COUNT; id++)
			away[id] = (result->draws[k][id] - result->centre[id]) /
			           constant_prior((enum constant_id)id)->spread;
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			struct limits limits = find_limits((enum constant_id)id);
			double moved = 0.0;

			for (size_t j = 0; j < CONSTANT_COUNT; j++)
				moved += gsl_matrix_get(stretch, (size_t)id, j) * away[j];
			moved = result->centre[id] +
			        constant_prior((enum constant_id)id)->spread * moved;
			result->draws[k][id] = fmin(limits.high, fmax(limits.low, moved));
		}
	}
}

bool drawn_constants_finish(struct fit_result *result, double factor)
{
	gsl_matrix *stretch = gsl_matrix_alloc(CONSTANT_COUNT, CONSTANT_COUNT);
	bool done = stretch != NULL;

	find_centre(result);
	find_covariance(result);
	done = done && find_stretch(result, factor * DRAWN_WIDENED * DRAWN_WIDENED, stretch);
	if (done)
		widen(result, stretch);
	gsl_matrix_free(stretch);
	find_centre(result); /* the limits may have moved it */
	find_covariance(result);
	return done;
}

struct interval drawn_constants_interval(const struct fit_result *result, enum constant_id id,
                                         double *space)
{
	size_t count = result->draw_count;
	double wider = result->coverage / coverage_factor(HUGE_VAL), middle, low, high;
	struct interval interval;

	for (size_t k = 0; k < count; k++)
		space[k] = result->draws[k][id];
	gsl_sort(space, 1, count);
	middle = gsl_stats_median_from_sorted_data(space, 1, count);
	low = gsl_stats_quantile_from_sorted_data(space, 1, count, 0.025);
	high = gsl_stats_quantile_from_sorted_data(space, 1, count, 0.975);
	interval.value = constant_from_scale(id, middle);
	interval.standard_error =
	    constant_scale_slope(id, interval.value) * sqrt(result->covariance[id][id]);
	interval.low95 = fmax(constant_prior(id)->lowest,
	                      constant_from_scale(id, middle + wider * (low - middle)));
	interval.high95 = fmin(constant_prior(id)->highest,
	                       constant_from_scale(id, middle + wider * (high - middle)));
	return interval;
}
