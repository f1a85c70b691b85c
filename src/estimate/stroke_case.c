/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/stroke_case.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_linalg.h>

#include "base/random.h"
#include "estimate/own_space.h"
#include "estimate/stroke_gradient.h"

#define SETTLE_ROUNDS 25
#define SETTLE_DECREASE 1e-6 /* of the cost, below which it is settled */
#define SETTLE_STALE 1e-4    /* fall of the cost that a linearisation made elsewhere may settle */
#define SEARCH_DRAWS 500
#define SEARCH_KEPT 3
#define SEARCH_TOLERANCE 1e-5 /* of impacts while draws are only compared */

double prior_value(enum constant_id id, double standardised)
{
	const struct constant_prior *prior = constant_prior(id);
	double value = constant_from_scale(id, constant_to_scale(id, prior->centre) +
	                                           prior->spread * standardised);

	return fmin(prior->highest, fmax(prior->lowest, value));
}

double prior_coordinate(enum constant_id id, double value)
{
	const struct constant_prior *prior = constant_prior(id);

	return (constant_to_scale(id, value) - constant_to_scale(id, prior->centre)) /
	       prior->spread;
}

struct constants stroke_point_constants(const struct stroke_point *point)
{
	struct constants constants = {.terms = {0.0}};

	for (int id = 0; id < CONSTANT_COUNT; id++)
		constants.value[id] = prior_value((enum constant_id)id, point->constants[id]);
	constants.terms.slope_long = SLOPE_SPREAD * point->shared[SHARED_SLOPE_LONG];
	constants.terms.slope_short = SLOPE_SPREAD * point->shared[SHARED_SLOPE_SHORT];
	constants.terms.nap_long = NAP_SPREAD * point->shared[SHARED_NAP];
	constants.terms.liveliness_fall = FALL_SPREAD * point->shared[SHARED_FALL];
	return constants;
}

bool stroke_case_residuals_to(const struct stroke_case *stroke, const struct stroke_point *point,
                              const double own[OWN_UNKNOWNS], double tolerance, double *residuals,
                              struct shot_record *record)
{
	struct observed observed[QUANTITY_COUNT];
	struct shot_record unwanted;
	struct constants constants = stroke_point_constants(point);

	if (!stroke_scene_play(&stroke->scene, &constants, point->shared, own, tolerance,
	                       record != NULL ? record : &unwanted, observed))
		return false;
	stroke_readings_compare(&stroke->readings, observed, residuals);
	for (size_t i = 0; i < stroke->readings.residual_count; i++)
		if (!isfinite(residuals[i]))
			return false;
	return true;
}

bool stroke_case_residuals(const struct stroke_case *stroke, const struct stroke_point *point,
                           const double own[OWN_UNKNOWNS], double *residuals,
                           struct shot_record *record)
{
	return stroke_case_residuals_to(stroke, point, own, stroke->tolerance, residuals, record);
}

static double sum_squares(const double *values, size_t count)
{
	double sum = 0.0;

	for (size_t i = 0; i < count; i++)
		sum += values[i] * values[i];
	return sum;
}

static double total_cost(const struct stroke_case *stroke, const double *residuals,
                         const double own[OWN_UNKNOWNS])
{
	return sum_squares(residuals, stroke->readings.residual_count) +
	       sum_squares(own, OWN_UNKNOWNS);
}

void stroke_case_choose_active(struct stroke_case *stroke, const unsigned *impacts)
{
	bool by_ramp = stroke->scene.design->launch.by_ramp;

	stroke->active_count = 0;
	for (int i = 0; i < OWN_STROKE; i++)
		if (!by_ramp || i == OWN_SPEED || i == OWN_AIM)
			stroke->active[stroke->active_count++] = i;
	for (int ball = 0; ball < BALL_ROLES; ball++)
		for (int impact = 0; impact < SHOT_IRREGULAR; impact++) {
			bool happened = impacts[ball] > (unsigned)impact &&
			                stroke->scene.setup.present[ball];

			if (!happened || stroke->active_count + 2 > OWN_ACTIVE) {
				stroke->trial_own[own_irregular(ball, impact)] = 0.0;
				stroke->trial_own[own_irregular(ball, impact) + 1] = 0.0;
				continue;
			}
			stroke->active[stroke->active_count++] = own_irregular(ball, impact);
			stroke->active[stroke->active_count++] = own_irregular(ball, impact) + 1;
		}
}

bool stroke_case_linearise(struct stroke_case *stroke, const struct stroke_point *point,
                           bool outer)
{
	double *own = stroke->trial_own;
	struct shot_record record;

	if (!stroke_case_residuals(stroke, point, own, stroke->trial_residuals, &record))
		return false;
	stroke_case_choose_active(stroke, record.impacts);
	stroke->trial_cost = total_cost(stroke, stroke->trial_residuals, own);
	return stroke_gradient_fill(stroke, point, outer);
}

/* Tries steps of growing damping until the cost falls; dampings: how many. False when none does. */
static bool settle_step(struct stroke_case *stroke, const struct stroke_point *point, int dampings,
                        double *gain)
{
	static const double damping[] = {0.0, 1.0, 10.0, 100.0, 1e3, 1e4, 1e5};

	for (int i = 0; i < dampings; i++) {
		double own[OWN_UNKNOWNS], residuals[RESIDUALS_MAX], target[OWN_ACTIVE], cost;

		if (!own_space_step(stroke, damping[i], target, NULL))
			return false;
		memcpy(own, stroke->trial_own, sizeof own);
		for (int j = 0; j < stroke->active_count; j++)
			own[stroke->active[j]] = target[j];
		if (!stroke_case_residuals(stroke, point, own, residuals, NULL))
			continue;
		cost = total_cost(stroke, residuals, own);
		if (!(cost < stroke->trial_cost))
			continue;
		*gain = stroke->trial_cost - cost;
		stroke->trial_cost = cost;
		memcpy(stroke->trial_own, own, sizeof own);
		memcpy(stroke->trial_residuals, residuals, sizeof residuals);
		return true;
	}
	return false;
}

/* One round of settling: a step by the linearisation at hand. *done: no step promises or brings
 * anything any more, as far as that linearisation tells. False when the shot cannot be played. */
static bool settle_round(struct stroke_case *stroke, const struct stroke_point *point, bool fresh,
                         bool *moved, bool *done)
{
	double target[OWN_ACTIVE], predicted, gain = 0.0;

	*moved = *done = false;
	if (!own_space_step(stroke, 0.0, target, &predicted))
		return false;
	if (predicted < SETTLE_DECREASE) {
		*done = true;
		return true;
	}
	*moved = settle_step(stroke, point, fresh ? 7 : 2, &gain);
	*done = !*moved || gain < SETTLE_DECREASE || gain < 0.5 * predicted;
	return true;
}

bool stroke_case_settle(struct stroke_case *stroke, const struct stroke_point *point)
{
	bool fresh = false, moved, done;
	double before;

	if (stroke->active_count == 0) {
		if (!stroke_case_linearise(stroke, point, false))
			return false;
		fresh = true;
	} else if (!stroke_case_residuals(stroke, point, stroke->trial_own,
	                                  stroke->trial_residuals, NULL)) {
		return false;
	}
	stroke->trial_cost = total_cost(stroke, stroke->trial_residuals, stroke->trial_own);
	before = stroke->trial_cost;
	for (int round = 0; round < SETTLE_ROUNDS; round++) {
		if (!settle_round(stroke, point, fresh, &moved, &done))
			return false;
		if (done && fresh && !moved)
			return true;
		/* A stale linearisation settles beside the minimum: it may end only what hardly moved. */
		if (done && before - stroke->trial_cost < SETTLE_STALE)
			return true;
		fresh = fresh && !moved;
		if (!done)
			continue;
		if (!stroke_case_linearise(stroke, point, false))
			return false;
		fresh = true;
	}
	return true;
}

/* One of the best draws of a search. */
struct draw {
	double cost;
	double own[OWN_UNKNOWNS];
};

static void keep_draw(struct draw kept[SEARCH_KEPT], const struct draw *draw)
{
	for (int i = 0; i < SEARCH_KEPT; i++)
		if (draw->cost < kept[i].cost) {
			memmove(&kept[i + 1], &kept[i],
			        (size_t)(SEARCH_KEPT - 1 - i) * sizeof kept[0]);
			kept[i] = *draw;
			return;
		}
}

/* Every second draw leaves the rails even: fewer numbers to guess, and settling finds the rest. */
static void draw_own(const struct stroke_case *stroke, struct random_stream *stream, bool even,
                     struct draw *draw)
{
	memset(draw->own, 0, sizeof draw->own);
	for (int j = 0; j < stroke->active_count; j++)
		if (!even || stroke->active[j] < OWN_STROKE)
			draw->own[stroke->active[j]] = random_normal(stream);
}

void stroke_case_search(struct stroke_case *stroke, const struct stroke_point *point,
                        uint64_t seed)
{
	struct random_stream stream = random_start(seed, stroke->stream);
	struct draw kept[SEARCH_KEPT] = {{.cost = HUGE_VAL}, {.cost = HUGE_VAL}, {.cost = HUGE_VAL}};
	struct stroke_case other = *stroke;

	for (int i = 0; i < SEARCH_DRAWS; i++) {
		struct draw draw;
		double residuals[RESIDUALS_MAX];

		draw_own(stroke, &stream, i % 2 == 1, &draw);
		if (!stroke_case_residuals_to(stroke, point, draw.own, SEARCH_TOLERANCE, residuals, NULL))
			continue;
		draw.cost = total_cost(stroke, residuals, draw.own);
		keep_draw(kept, &draw);
	}
	for (int i = 0; i < SEARCH_KEPT && kept[i].cost < HUGE_VAL; i++) {
		memcpy(other.trial_own, kept[i].own, sizeof other.trial_own);
		other.active_count = 0;
		if (stroke_case_settle(&other, point) && other.trial_cost < stroke->trial_cost - 0.1)
			*stroke = other;
	}
}

static void outer_numbers(const struct stroke_point *point, double outer[STROKE_OUTER])
{
	memcpy(outer, point->constants, sizeof point->constants);
	memcpy(outer + CONSTANT_COUNT, point->shared, sizeof point->shared);
}

bool stroke_case_accept(struct stroke_case *stroke, const struct stroke_point *point)
{
	memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
	memcpy(stroke->residuals, stroke->trial_residuals, sizeof stroke->residuals);
	stroke->cost = stroke->trial_cost;
	outer_numbers(point, stroke->outer);
	return stroke_case_reduce(stroke, stroke->reduced, stroke->reduced_slope);
}

double stroke_case_promise(const struct stroke_case *stroke, const struct stroke_point *point)
{
	double outer[STROKE_OUTER], sum = 0.0;

	outer_numbers(point, outer);
	for (size_t i = 0; i < stroke->readings.residual_count; i++) {
		double residual = stroke->reduced[i];

		for (int j = 0; j < STROKE_OUTER; j++)
			residual += stroke->reduced_slope[i][j] * (outer[j] - stroke->outer[j]);
		sum += residual * residual;
	}
	return sum;
}

double stroke_case_suspect(const struct stroke_case *stroke)
{
	double count = (double)stroke->readings.count;

	return count + 4.0 * sqrt(2.0 * count) + 6.0;
}
