/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_extras.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_linalg.h>

#include "base/random.h"
#include "estimate/fit_extras_known.h"
#include "estimate/fit_lines.h"
#include "estimate/fit_players.h"
#include "physics/slope.h"

#define SPREAD_NODES 21     /* of the rails' spread */
#define INSIDE 1e-6         /* standardised distance from a limit that a start keeps */
#define LIVELIEST 0.999       /* a mean of rails may come out so lively; a logit goes no farther */
#define LINEAR_DRAWS 1000   /* where there are no others */
#define LINEAR_STREAM UINT64_C(0x6c696e)

static bool is_extra(const struct fit_problem *problem, size_t i)
{
	return problem->shared[i].kind >= SHARED_HABITS;
}

/* Where an extra unknown stands among the outer ones; 0 when it is not fitted. */
static size_t place_of(const struct fit_problem *problem, int kind)
{
	for (size_t i = 0; i < problem->shared_count; i++)
		if ((int)problem->shared[i].kind == kind)
			return CONSTANT_COUNT + i;
	return 0;
}

/* Log density of four rails whose spread is unknown, relative to the standard normal one. With a
 * spread s it is -4 log s - S / (2 s^2), S the sum of squares; averaged over s by the trapezoid
 * rule on its logarithm. */
static double rails_log_prior(const struct fit_problem *problem, int first, const double *x,
                              double *gradient)
{
	size_t place = place_of(problem, first);
	double squares = 0.0, most = -HUGE_VAL, sum = 0.0, precision = 0.0;
	double logs[SPREAD_NODES], inverse[SPREAD_NODES];

	for (int rail = 0; rail < RAIL_COUNT; rail++)
		squares += x[place + (size_t)rail] * x[place + (size_t)rail];
	for (int node = 0; node < SPREAD_NODES; node++) {
		double z = RAILS_SPREAD_REACH * (2.0 * node / (SPREAD_NODES - 1) - 1.0);
		double spread = RAILS_SPREAD_CENTRE * exp(RAILS_SPREAD_LOG_DEVIATION * z);

		inverse[node] = 1.0 / (spread * spread);
		logs[node] = -0.5 * z * z - RAIL_COUNT * log(spread) -
		             0.5 * squares * inverse[node];
		if (node == 0 || node == SPREAD_NODES - 1)
			logs[node] += log(0.5);
		most = fmax(most, logs[node]);
	}
	for (int node = 0; node < SPREAD_NODES; node++) {
		double share = exp(logs[node] - most);

		sum += share;
		precision += share * inverse[node];
	}
	precision /= sum;
	for (int rail = 0; rail < RAIL_COUNT; rail++)
		gradient[place + (size_t)rail] += (1.0 - precision) * x[place + (size_t)rail];
	return most + log(sum) + 0.5 * squares;
}

/* What an unknown stands at; 0 when it is not fitted. */
static double extra_at(const struct fit_problem *problem, const double *x, int kind)
{
	size_t place = place_of(problem, kind);

	return place > 0 ? x[place] : 0.0;
}

static bool ball_stops(const struct fit_problem *problem, const double *x)
{
	struct constants constants = {.terms = {0.0}};

	for (int id = 0; id < CONSTANT_COUNT; id++)
		constants.value[id] = prior_value((enum constant_id)id, x[id]);
	constants.terms.slope_long = SLOPE_SPREAD * extra_at(problem, x, SHARED_SLOPE_LONG);
	constants.terms.slope_short = SLOPE_SPREAD * extra_at(problem, x, SHARED_SLOPE_SHORT);
	constants.terms.nap_long = NAP_SPREAD * extra_at(problem, x, SHARED_NAP);
	return slope_stops(&constants);
}

double fit_extras_log_prior(const struct fit_problem *problem, const double *x, double *gradient)
{
	double sum = 0.0;

	if ((problem->wants.slope || problem->wants.nap) && !ball_stops(problem, x))
		return -HUGE_VAL;
	if (problem->wants.liveliness_with_speed) {
		double fall = x[place_of(problem, SHARED_FALL)];

		if (fall < 0.0 || fall > FALL_MOST / FALL_SPREAD)
			return -HUGE_VAL;
	}
	if (problem->wants.per_rail) {
		sum += rails_log_prior(problem, SHARED_RAIL_LIVELINESS, x, gradient);
		sum += rails_log_prior(problem, SHARED_RAIL_GRIP, x, gradient);
	}
	return sum;
}

void fit_extras_step_inside(const struct fit_problem *problem, double *x)
{
	static const int driving[] = {SHARED_SLOPE_LONG, SHARED_SLOPE_SHORT, SHARED_NAP};
	size_t fall = place_of(problem, SHARED_FALL);

	if (problem->wants.liveliness_with_speed)
		x[fall] = fmin(FALL_MOST / FALL_SPREAD - INSIDE, fmax(x[fall], INSIDE));
	while ((problem->wants.slope || problem->wants.nap) && !ball_stops(problem, x))
		for (int k = 0; k < 3; k++)
			if (place_of(problem, driving[k]) > 0)
				x[place_of(problem, driving[k])] *= 0.9;
}

double fit_extras_taken(const struct fit_problem *problem, const double *covariance)
{
	size_t size = fit_problem_size(problem);
	double taken = 0.0;

	for (size_t i = 0; i < problem->shared_count; i++) {
		size_t place = CONSTANT_COUNT + i;

		if (is_extra(problem, i))
			taken += 1.0 - fmin(1.0, covariance[place * size + place]);
	}
	return taken;
}

double fit_extras_squares(const struct fit_problem *problem, const double *x)
{
	double sum = 0.0;

	for (size_t i = 0; i < problem->shared_count; i++)
		if (is_extra(problem, i))
			sum += x[CONSTANT_COUNT + i] * x[CONSTANT_COUNT + i];
	return sum;
}

static size_t count_extras(const struct fit_problem *problem)
{
	size_t count = 0;

	for (size_t i = 0; i < problem->shared_count; i++)
		count += is_extra(problem, i);
	return count;
}

/* Draws from the linear approximation at the best point. A covariance that is none gives none. */
static bool draw_linear(const struct fit_problem *problem, const double *x,
                        const double *covariance, struct fit_result *result)
{
	size_t count = result->extra_count, size = fit_problem_size(problem), row = 0;
	gsl_matrix *factor = gsl_matrix_alloc(count, count);
	struct random_stream stream = random_start(problem->seed, LINEAR_STREAM);
	size_t *places = calloc(count, sizeof *places);
	double *z = calloc(count, sizeof *z);
	bool ready = factor != NULL && places != NULL && z != NULL;

	for (size_t i = 0; ready && i < problem->shared_count; i++)
		if (is_extra(problem, i))
			places[row++] = CONSTANT_COUNT + i;
	for (size_t i = 0; ready && i < count; i++)
		for (size_t k = 0; k < count; k++)
			gsl_matrix_set(factor, i, k, covariance[places[i] * size + places[k]]);
	if (!ready || !isfinite(gsl_matrix_max(factor)) ||
	    gsl_linalg_cholesky_decomp1(factor) != 0)
		memset(result->extra_draws, 0, LINEAR_DRAWS * count * sizeof(double));
	else
		for (size_t d = 0; d < LINEAR_DRAWS; d++) {
			for (size_t i = 0; i < count; i++)
				z[i] = random_normal(&stream);
			for (size_t i = 0; i < count; i++) {
				double *draw = &result->extra_draws[d * count + i];

				*draw = x[places[i]];
				for (size_t k = 0; k <= i; k++)
					*draw += gsl_matrix_get(factor, i, k) * z[k];
			}
		}
	gsl_matrix_free(factor);
	free(places);
	free(z);
	return ready;
}

/* Moves what all four rails have in common from their columns to a constant. */
static void centre_rails(const struct fit_problem *problem, int first, enum constant_id id,
                         struct fit_result *result)
{
	size_t column = fit_extras_column(problem, first);

	for (size_t d = 0; d < result->draw_count; d++) {
		double *rails = &result->extra_draws[d * result->extra_count + column];
		double *constant = &result->draws[d][id], mean = 0.0;
		const struct constant_prior *prior = constant_prior(id);

		for (int rail = 0; rail < RAIL_COUNT; rail++)
			mean += rails[rail] / RAIL_COUNT;
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			rails[rail] -= mean;
		if (id == CUSHION_FRICTION) {
			*constant += RAIL_GRIP_SPREAD * mean;
		} else {
			double value = constant_from_scale(id, *constant);

			value *= 1.0 + RAIL_LIVELINESS_SPREAD * mean;
			*constant = constant_to_scale(id, fmin(value, LIVELIEST));
		}
		*constant = fmax(*constant, constant_to_scale(id, prior->lowest));
		if (prior->highest < 1.0)
			*constant = fmin(*constant, constant_to_scale(id, prior->highest));
	}
}

bool fit_extras_take(const struct fit_problem *problem, const struct posterior *posterior,
                     struct fit_result *result)
{
	size_t count = count_extras(problem);

	if (!fit_players_take(problem, posterior, result))
		return false;
	result->extra_count = count;
	if (count == 0)
		return true;
	result->extra_draws =
	    arena_allocate(result->arena, posterior->count * count * sizeof(double));
	if (result->extra_draws == NULL)
		return false;
	for (size_t d = 0; d < posterior->count; d++) {
		double *draw = result->extra_draws + d * count;

		for (size_t i = 0; i < problem->shared_count; i++)
			if (is_extra(problem, i))
				*draw++ = posterior->draws[d * posterior->size + CONSTANT_COUNT + i];
	}
	if (problem->wants.per_rail) {
		centre_rails(problem, SHARED_RAIL_LIVELINESS, CUSHION_RESTITUTION, result);
		centre_rails(problem, SHARED_RAIL_GRIP, CUSHION_FRICTION, result);
	}
	return true;
}

bool fit_extras_fill(const struct fit_problem *problem, const double *x, const double *covariance,
                     struct fit_result *result)
{
	size_t count = count_extras(problem), draws = result->draw_count;

	if (!fit_players_fill(problem, x, result))
		return false;
	if (count == 0)
		return true;
	if (problem->wants.slope && !fit_lines_fill(problem, x, result))
		return false;
	if (draws == 0) {
		draws = LINEAR_DRAWS;
		result->extra_count = count;
		result->extra_draws =
		    arena_allocate(result->arena, draws * count * sizeof(double));
		if (result->extra_draws == NULL || !draw_linear(problem, x, covariance, result))
			return false;
	}
	return fit_extras_known(problem, x, draws, result);
}
