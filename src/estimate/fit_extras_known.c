/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_extras_known.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

#include "estimate/fit_extras.h"

#define NORMAL_975 1.959963984540054
#define CHI_SQUARE_2_95 5.991464547107979 /* 95 % point for two degrees of freedom */
#define LEARNED_ENOUGH 0.5
#define WEAK_ABOVE 0.10
#define LIMIT_NEAR 0.1
#define DIRECTION_WEAK 10.0 /* [degrees] */
#define DEGREE (M_PI / 180.0)

/* Numbers drawn of one quantity, in order, and what they come to. */
struct drawn {
	size_t count;
	double *sorted;
	double mean, deviation;
};

size_t fit_extras_column(const struct fit_problem *problem, int kind)
{
	size_t column = 0;

	for (size_t i = 0; i < problem->shared_count; i++) {
		if ((int)problem->shared[i].kind == kind)
			break;
		column += problem->shared[i].kind >= SHARED_HABITS;
	}
	return column;
}

/* After its numbers were put in. */
static void drawn_finish(struct drawn *drawn)
{
	gsl_sort(drawn->sorted, 1, drawn->count);
	drawn->mean = gsl_stats_mean(drawn->sorted, 1, drawn->count);
	drawn->deviation = gsl_stats_sd(drawn->sorted, 1, drawn->count);
}

static double drawn_point(const struct drawn *drawn, double share)
{
	return gsl_stats_quantile_from_sorted_data(drawn->sorted, 1, drawn->count, share);
}

static struct interval drawn_interval(const struct drawn *drawn)
{
	return (struct interval){.value = drawn_point(drawn, 0.5),
	                         .standard_error = drawn->deviation,
	                         .low95 = drawn_point(drawn, 0.025),
	                         .high95 = drawn_point(drawn, 0.975)};
}

/* Draws of one column, times a unit. */
static void drawn_column(const struct fit_result *result, size_t column, double unit,
                         struct drawn *drawn)
{
	for (size_t d = 0; d < drawn->count; d++)
		drawn->sorted[d] = unit * result->extra_draws[d * result->extra_count + column];
	drawn_finish(drawn);
}

/* An estimate whose state but for `weak` follows from how much was learned; prior: what it says
 * where that is too little. */
static struct estimate conclude(struct interval found, double learned, bool weak,
                                struct interval prior)
{
	struct estimate estimate = {.best = found,
	                            .has_interval = true,
	                            .has_learned = true,
	                            .learned = learned,
	                            .state = weak ? KNOWLEDGE_WEAK : KNOWLEDGE_DETERMINED};

	if (learned >= LEARNED_ENOUGH)
		return estimate;
	estimate.state = KNOWLEDGE_NOT_DETERMINED;
	estimate.has_posterior = true;
	estimate.posterior = found;
	estimate.best = prior;
	return estimate;
}

/* A factor, from the logarithm that was drawn. */
static struct estimate conclude_factor(const struct drawn *drawn, double prior_deviation)
{
	struct interval logs = drawn_interval(drawn);
	struct interval found = {.value = exp(logs.value),
	                         .standard_error = exp(logs.value) * drawn->deviation,
	                         .low95 = exp(logs.low95),
	                         .high95 = exp(logs.high95)};
	struct interval prior = {.value = 1.0,
	                         .standard_error = prior_deviation,
	                         .low95 = exp(-NORMAL_975 * prior_deviation),
	                         .high95 = exp(NORMAL_975 * prior_deviation)};

	return conclude(found, 1.0 - drawn->deviation / prior_deviation,
	                drawn->deviation > WEAK_ABOVE, prior);
}

/* A number that may be negative, of a normal prior about 0. */
static struct estimate conclude_signed(const struct drawn *drawn, double spread)
{
	struct interval prior = {0.0, spread, -NORMAL_975 * spread, NORMAL_975 * spread};
	struct interval found = drawn_interval(drawn);
	double size = fmax(fabs(found.value), spread);

	return conclude(found, 1.0 - drawn->deviation / spread,
	                drawn->deviation > WEAK_ABOVE * size, prior);
}

/* The numbers of a half-normal distribution of scale 1: median, standard deviation, 95 % point. */
static const struct interval half_normal = {0.6744897501960817, 0.6028102749890869, 0.0,
                                            1.959963984540054};

/* Draws that cannot be below 0. */
static struct interval positive_interval(const struct drawn *drawn)
{
	struct interval found = drawn_interval(drawn);
	double from_zero = drawn_point(drawn, 0.95);

	if (from_zero > found.high95 - found.low95)
		return found;
	found.low95 = 0.0;
	found.high95 = from_zero;
	return found;
}

/* best: of the iteration, which may be below 0. */
static void fill_fall(const struct fit_problem *problem, double best, struct drawn *drawn,
                      struct fit_result *result)
{
	double expected = FALL_SPREAD * half_normal.standard_error;
	struct interval prior = {FALL_SPREAD * half_normal.value, expected, 0.0,
	                         FALL_SPREAD * half_normal.high95};
	struct interval found;
	double size;

	drawn_column(result, fit_extras_column(problem, SHARED_FALL), FALL_SPREAD, drawn);
	found = positive_interval(drawn);
	size = fmax(found.value, expected);
	result->has_liveliness_fall = true;
	result->liveliness_fall = conclude(found, 1.0 - drawn->deviation / expected,
	                                   drawn->deviation > WEAK_ABOVE * size, prior);
	if (FALL_SPREAD * best >= LIMIT_NEAR * drawn->deviation)
		return;
	found.value = fmin(found.high95, fmax(0.0, FALL_SPREAD * best));
	result->liveliness_fall.state = KNOWLEDGE_AT_LIMIT;
	result->liveliness_fall.best = found;
	result->liveliness_fall.has_posterior = false;
}

/* Two slopes as drawn. */
struct slopes {
	const double *along; /* standardised, `step` apart from draw to draw, likewise */
	const double *across;
	size_t step, count;
	double mean_along, mean_across;
};

/* Whether the 95 % ellipse of the slopes holds 0. */
static bool may_be_level(const struct slopes *slopes)
{
	double aa = gsl_stats_variance(slopes->along, slopes->step, slopes->count);
	double cc = gsl_stats_variance(slopes->across, slopes->step, slopes->count);
	double ac = gsl_stats_covariance(slopes->along, slopes->step, slopes->across, slopes->step,
	                                 slopes->count);
	double a = slopes->mean_along, c = slopes->mean_across, determinant = aa * cc - ac * ac;

	return !((a * a * cc - 2.0 * a * c * ac + c * c * aa) / determinant > CHI_SQUARE_2_95);
}

static void fill_steepness(const struct slopes *slopes, struct drawn *drawn,
                           struct profile_slope *slope)
{
	/* The length of a vector of two normal numbers of deviation 2 mm/m (Rayleigh). */
	const double unit = 1e3 * SLOPE_SPREAD;
	struct interval prior = {unit * 1.1774100225154747, unit * 0.6551363775620336, 0.0,
	                         unit * sqrt(CHI_SQUARE_2_95)};
	struct interval found;

	for (size_t d = 0; d < drawn->count; d++)
		drawn->sorted[d] = unit * hypot(slopes->along[d * slopes->step],
		                                slopes->across[d * slopes->step]);
	drawn_finish(drawn);
	found = drawn_interval(drawn);
	found.value = unit * hypot(slopes->mean_along, slopes->mean_across);
	found.low95 = fmin(found.low95, found.value);
	if (may_be_level(slopes)) {
		found.low95 = 0.0;
		found.high95 = fmax(found.value, drawn_point(drawn, 0.95));
	}
	slope->steepness =
	    conclude(found, 1.0 - drawn->deviation / prior.standard_error,
	             drawn->deviation > WEAK_ABOVE * fmax(found.value, unit), prior);
}

static void fill_direction(const struct slopes *slopes, struct drawn *drawn,
                           struct profile_slope *slope)
{
	double middle = atan2(slopes->mean_across, slopes->mean_along) / DEGREE;
	struct interval found;

	for (size_t d = 0; d < drawn->count; d++) {
		double angle = atan2(slopes->across[d * slopes->step],
		                     slopes->along[d * slopes->step]) /
		               DEGREE;

		drawn->sorted[d] = remainder(angle - middle, 360.0);
	}
	drawn_finish(drawn);
	found = drawn_interval(drawn);
	middle = middle < 0.0 ? middle + 360.0 : middle;
	found.value = middle;
	found.low95 += middle;
	found.high95 += middle;
	slope->direction = (struct estimate){.best = found,
	                                     .has_interval = true,
	                                     .state = drawn->deviation > DIRECTION_WEAK
	                                                  ? KNOWLEDGE_WEAK
	                                                  : KNOWLEDGE_DETERMINED};
}

static void fill_slope(const struct fit_problem *problem, struct drawn *drawn,
                       struct fit_result *result)
{
	size_t along = fit_extras_column(problem, SHARED_SLOPE_LONG);
	size_t across = fit_extras_column(problem, SHARED_SLOPE_SHORT);
	struct slopes slopes = {.along = result->extra_draws + along,
	                        .across = result->extra_draws + across,
	                        .step = result->extra_count,
	                        .count = drawn->count};
	struct profile_slope *slope = &result->slope;

	result->has_slope = true;
	drawn_column(result, along, SLOPE_SPREAD, drawn);
	slope->along = conclude_signed(drawn, SLOPE_SPREAD);
	slopes.mean_along = drawn->mean / SLOPE_SPREAD;
	drawn_column(result, across, SLOPE_SPREAD, drawn);
	slope->across = conclude_signed(drawn, SLOPE_SPREAD);
	slopes.mean_across = drawn->mean / SLOPE_SPREAD;
	fill_steepness(&slopes, drawn, slope);
	slope->has_direction = profile_slope_points(&slope->steepness);
	if (slope->has_direction)
		fill_direction(&slopes, drawn, slope);
}

static void fill_nap(const struct fit_problem *problem, struct drawn *drawn,
                     struct fit_result *result)
{
	result->has_nap = true;
	drawn_column(result, fit_extras_column(problem, SHARED_NAP), NAP_SPREAD, drawn);
	result->nap = conclude_signed(drawn, NAP_SPREAD);
}

static bool fill_grips(const struct fit_problem *problem, struct drawn *drawn,
                       struct fit_result *result)
{
	size_t column = 0;

	result->grips =
	    arena_allocate(result->arena, (result->extra_count + 1) * sizeof *result->grips);
	if (result->grips == NULL)
		return false;
	for (size_t i = 0; i < problem->shared_count; i++) {
		const struct shared_parameter *shared = &problem->shared[i];
		struct fit_grip *grip = &result->grips[result->grip_count];

		if (shared->kind < SHARED_HABITS)
			continue;
		if (shared->kind == SHARED_GRIP) {
			*grip = (struct fit_grip){.column = column};
			grip->label = arena_copy(result->arena, shared->shot, strlen(shared->shot));
			if (grip->label == NULL)
				return false;
			drawn_column(result, column, GRIP_SPREAD, drawn);
			grip->grip = conclude_factor(drawn, GRIP_SPREAD);
			result->grip_count++;
		}
		column++;
	}
	return true;
}

/* What a rail's distance from the mean of four was expected to be, in the unit of the rails. */
static double rails_expected(void)
{
	return RAILS_SPREAD_CENTRE *
	       exp(RAILS_SPREAD_LOG_DEVIATION * RAILS_SPREAD_LOG_DEVIATION) *
	       sqrt((RAIL_COUNT - 1.0) / RAIL_COUNT);
}

static void fill_rails(const struct fit_problem *problem, struct drawn *drawn,
                       struct fit_result *result)
{
	size_t lively = fit_extras_column(problem, SHARED_RAIL_LIVELINESS);
	size_t grip = fit_extras_column(problem, SHARED_RAIL_GRIP);

	result->has_rails = true;
	for (size_t rail = 0; rail < RAIL_COUNT; rail++) {
		struct profile_rail *known = &result->rails.rail[rail];

		drawn_column(result, lively + rail, RAIL_LIVELINESS_SPREAD, drawn);
		for (size_t d = 0; d < drawn->count; d++)
			drawn->sorted[d] = log1p(fmax(drawn->sorted[d], -0.99));
		drawn_finish(drawn);
		known->liveliness =
		    conclude_factor(drawn, RAIL_LIVELINESS_SPREAD * rails_expected());
		drawn_column(result, grip + rail, RAIL_GRIP_SPREAD, drawn);
		known->grip = conclude_factor(drawn, RAIL_GRIP_SPREAD * rails_expected());
	}
}

/* Moves the draws away from their means by the root of the excess of the chi-square, as those of
 * the constants were (fit_states.h). */
static void enlarge(const struct fit_problem *problem, size_t draws, struct fit_result *result)
{
	double factor = sqrt(result->chi_square / result->degrees_of_freedom);
	size_t fall = problem->wants.liveliness_with_speed
	                  ? fit_extras_column(problem, SHARED_FALL)
	                  : result->extra_count;

	for (size_t column = 0; column < result->extra_count; column++) {
		double *first = result->extra_draws + column;
		double mean = gsl_stats_mean(first, result->extra_count, draws);

		for (size_t d = 0; d < draws; d++) {
			double *draw = first + d * result->extra_count;

			*draw = mean + factor * (*draw - mean);
			if (column == fall)
				*draw = fmin(FALL_MOST / FALL_SPREAD, fmax(0.0, *draw));
		}
	}
}

bool fit_extras_known(const struct fit_problem *problem, const double *x, size_t draws,
                      struct fit_result *result)
{
	const struct fit_wants *wants = &problem->wants;
	struct drawn drawn = {.count = draws, .sorted = calloc(draws, sizeof(double))};
	bool good = drawn.sorted != NULL;

	if (good && result->scaled)
		enlarge(problem, draws, result);
	if (good && wants->slope)
		fill_slope(problem, &drawn, result);
	if (good && wants->nap)
		fill_nap(problem, &drawn, result);
	for (size_t i = 0; good && i < problem->shared_count; i++)
		if (problem->shared[i].kind == SHARED_FALL)
			fill_fall(problem, x[CONSTANT_COUNT + i], &drawn, result);
	if (good && wants->grips)
		good = fill_grips(problem, &drawn, result);
	if (good && wants->per_rail)
		fill_rails(problem, &drawn, result);
	free(drawn.sorted);
	return good;
}
