/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_omissions.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_blas.h>

#include "physics/cushion.h"

#define SMALL_PORTION 0.1
#define BEND_LARGEST 1.0 /* of a try's change, and of its standard deviations */

/* --- playing -------------------------------------------------------------------------------------- */

static void change_shared(enum omission number, double size, double shared[SHARED_UNKNOWNS])
{
	switch (number) {
	case OMISSION_LIVELINESS_FALL:
		shared[SHARED_FALL] += size / FALL_SPREAD;
		break;
	case OMISSION_SLOPE_LONG:
		shared[SHARED_SLOPE_LONG] += size / SLOPE_SPREAD;
		break;
	case OMISSION_SLOPE_SHORT:
		shared[SHARED_SLOPE_SHORT] += size / SLOPE_SPREAD;
		break;
	case OMISSION_RAIL_HEAD:
	case OMISSION_RAIL_FOOT:
	case OMISSION_RAIL_LEFT:
	case OMISSION_RAIL_RIGHT:
		shared[SHARED_RAIL_LIVELINESS + (int)(number - OMISSION_RAIL_HEAD)] +=
		    size / RAIL_LIVELINESS_SPREAD;
		break;
	default:
		break;
	}
}

/* part: of the session that is over, 0 to 1. */
static void change_constants(enum omission number, double size, double part,
                             struct constants *constants)
{
	double drift = 1.0 + size * (0.5 - part);

	if (number == OMISSION_BALL_FRICTION_FALL)
		constants->terms.ball_friction_fall = size;
	if (number == OMISSION_HOP)
		constants->terms.bed_restitution = size;
	if (number != OMISSION_DRIFT)
		return;
	constants->value[SLIDING_FRICTION] *= drift;
	constants->value[ROLLING_RESISTANCE] *= drift;
	constants->value[SPIN_FRICTION] *= drift;
}

/* Standardised residuals of a try on a table with an omission of that size, 0: of the model as it
 * is. False where it cannot be played to its end. */
static bool play(const struct fit_try *try, enum omission number, double size, double part,
                 double *residuals)
{
	struct stroke_point point = try->point;
	struct observed observed[QUANTITY_COUNT];
	struct constants constants;
	struct shot_record record;

	change_shared(number, size, point.shared);
	constants = stroke_point_constants(&point);
	change_constants(number, size, part, &constants);
	if (!stroke_scene_play(&try->stroke->scene, &constants, point.shared, try->own,
	                       CUSHION_TOLERANCE, &record, observed))
		return false;
	stroke_readings_compare(&try->stroke->readings, observed, residuals);
	for (size_t i = 0; i < try->count; i++)
		if (!isfinite(residuals[i]))
			return false;
	return true;
}

/* The reduced change of a try's residuals that a portion of an omission makes, the fit being of the
 * model, over the portion. */
static bool find_portion(struct fit_try *try, enum omission number, double part, double portion,
                         double *change)
{
	gsl_matrix_view factor = gsl_matrix_view_array(try->factor, try->count, try->count);
	gsl_vector_view view = gsl_vector_view_array(change, try->count);
	double with[RESIDUALS_MAX];

	if (!play(try, number, 0.0, part, change) ||
	    !play(try, number, portion * omission_rule(number)->size, part, with))
		return false;
	for (size_t i = 0; i < try->count; i++)
		change[i] = (change[i] - with[i]) / portion;
	gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &factor.matrix, &view.vector);
	return true;
}

/* Constants follow a large change along a curve, which a small portion of it foretells better than
 * the whole does; but where the whole says something quite different, a contact has come or gone,
 * or a ball flies. A try that cannot be played there makes no change. */
static void find_change(struct fit_try *try, enum omission number, double part)
{
	double whole[RESIDUALS_MAX], away = 0.0, size = 0.0;

	memset(try->reduced, 0, sizeof try->reduced);
	if (!find_portion(try, number, part, 1.0, whole))
		return;
	if (number == OMISSION_HOP ||
	    !find_portion(try, number, part, SMALL_PORTION, try->reduced)) {
		memcpy(try->reduced, whole, try->count * sizeof *whole);
		return;
	}
	for (size_t i = 0; i < try->count; i++) {
		away = hypot(away, try->reduced[i] - whole[i]);
		size = hypot(size, whole[i]);
	}
	if (away > BEND_LARGEST * (1.0 + size))
		memcpy(try->reduced, whole, try->count * sizeof *whole);
}

/* --- least squares -------------------------------------------------------------------------------- */

/* step = -C W' change, then the change becomes what that step leaves. */
static void follow(const struct fit_tries *tries, const double *covariance, size_t size,
                   double *gradient, double *step)
{
	memset(gradient, 0, size * sizeof *gradient);
	for (size_t t = 0; t < tries->count; t++)
		for (int o = 0; o < STROKE_OUTER; o++) {
			const struct fit_try *try = &tries->items[t];
			int place = fit_try_place(try, o);

			for (size_t i = 0; i < try->count && place >= 0; i++)
				gradient[place] += try->slopes[i][o] * try->reduced[i];
		}
	for (size_t j = 0; j < size; j++) {
		step[j] = 0.0;
		for (size_t k = 0; k < size; k++)
			step[j] -= covariance[j * size + k] * gradient[k];
	}
	for (size_t t = 0; t < tries->count; t++)
		for (int o = 0; o < STROKE_OUTER; o++) {
			struct fit_try *try = &tries->items[t];
			int place = fit_try_place(try, o);

			for (size_t i = 0; i < try->count && place >= 0; i++)
				try->reduced[i] += try->slopes[i][o] * step[place];
		}
}

static bool is_fitted(const struct fit_wants *wants, enum omission number)
{
	switch (number) {
	case OMISSION_LIVELINESS_FALL:
		return wants->liveliness_with_speed;
	case OMISSION_SLOPE_LONG:
	case OMISSION_SLOPE_SHORT:
		return wants->slope;
	case OMISSION_RAIL_HEAD:
	case OMISSION_RAIL_FOOT:
	case OMISSION_RAIL_LEFT:
	case OMISSION_RAIL_RIGHT:
		return wants->per_rail;
	default:
		return false;
	}
}

static enum status find_one(const struct fit_problem *problem, struct fit_tries *tries,
                            const double *covariance, double *space, const struct lack_of_fit *fit,
                            struct fit_omission *out)
{
	size_t size = fit_problem_size(problem);
	double *step = space + size, shared = 0.0;
	struct lack_of_fit split;
	enum status status;

	for (size_t t = 0; t < tries->count; t++)
		find_change(&tries->items[t], out->which,
		            (double)t / fmax(1.0, (double)tries->count - 1.0));
	follow(tries, covariance, size, space, step);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		out->shift[id] = constant_prior((enum constant_id)id)->spread * step[id];
	for (size_t j = CONSTANT_COUNT; j < size; j++)
		shared += step[j] * step[j];
	status = fit_tries_split(tries, shared, 0.0, &split);
	out->noncentrality = split.between;
	out->power = lack_of_fit_power(fit, split.between, OMISSION_LEVEL);
	return status;
}

enum status fit_omissions_find(const struct fit_problem *problem, const struct fit_tries *tries,
                               const double *covariance, struct fit_result *result)
{
	size_t size = fit_problem_size(problem);
	double *space = malloc(2 * size * sizeof *space);
	struct fit_tries changed = {tries->count,
	                            malloc((tries->count + 1) * sizeof *tries->items)};
	enum status status = STATUS_OK;

	if (space == NULL || changed.items == NULL)
		status = STATUS_SYSTEM;
	else
		memcpy(changed.items, tries->items, tries->count * sizeof *tries->items);
	result->omission_count = 0;
	for (int number = 0; number < OMISSION_COUNT && status == STATUS_OK; number++) {
		struct fit_omission *one = &result->omissions[result->omission_count];

		if (is_fitted(&problem->wants, (enum omission)number))
			continue;
		*one = (struct fit_omission){.which = (enum omission)number};
		status = find_one(problem, &changed, covariance, space, &result->lack_of_fit, one);
		result->omission_count++;
	}
	free(space);
	fit_tries_free(&changed);
	return status;
}

void fit_omissions_mark(struct fit_result *result)
{
	for (size_t i = 0; i < result->omission_count; i++) {
		struct fit_omission *one = &result->omissions[i];

		one->told = false;
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			one->large[id] = result->constants[id].state != KNOWLEDGE_NOT_DETERMINED &&
			                 one->power < OMISSION_UNSEEN &&
			                 fabs(one->shift[id]) >
			                     OMISSION_LARGE * sqrt(result->covariance[id][id]);
			one->told = one->told || one->large[id];
		}
	}
}
