/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/own_draws.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_linalg.h>

#include "base/random.h"
#include "estimate/own_space.h"

#define PRIOR_DRAWS 60  /* from the prior */
#define NEAR_DRAWS 60   /* about the solutions */
#define AGAIN_DRAWS 80  /* about the best of the draws so far */
#define CENTRES 16      /* of the latter */
#define ENOUGH 30.0     /* effective draws that need no further ones */
#define WIDE 1.6        /* second width about a solution, in its standard deviations */
#define NARROW 0.7      /* width about a draw */
#define DISTINCT 4.0    /* squared standardised distance of two solutions */
#define TOLERANCE 1e-5  /* of cushion impacts: a thousandth of a reading's error */
#define SETTLE_TOLERANCE 1e-6
#define HOPELESS 12.0   /* cost above the best that makes a solution none */

/* A normal distribution that draws were taken from: the shape of a solution about a centre. */
struct source {
	int solution;
	double centre[OWN_UNKNOWNS];
	double width;
	double drawn; /* how many */
};

/* A stroke's draws under way. */
struct sampling {
	const struct stroke_case *stroke;
	const struct stroke_point *point;
	struct random_stream stream;
	struct own_draws *draws;
	int source_count;
	struct source sources[2 * OWN_SOLUTIONS + CENTRES];
};

/* The covariance that the own unknowns give the readings. */
static bool finish_solution(struct own_solution *solution)
{
	const struct stroke_case *stroke = &solution->settled;
	size_t count = stroke->readings.residual_count;
	gsl_matrix_view factor = gsl_matrix_view_array(solution->factor, count, count);

	own_space_factor(stroke, 1.0, &factor.matrix);
	solution->log_determinant = 0.0;
	for (size_t i = 0; i < count; i++)
		solution->log_determinant += 2.0 * log(solution->factor[i * count + i]);
	return isfinite(solution->log_determinant);
}

/* Squared distance of own unknowns from a centre in the standard deviations of a solution:
 * z' (1 + J'J) z. */
static double distance(const struct own_solution *solution, const double *own,
                       const double *centre)
{
	const struct stroke_case *stroke = &solution->settled;
	double z[OWN_ACTIVE], sum = 0.0;

	for (int j = 0; j < stroke->active_count; j++) {
		z[j] = own[stroke->active[j]] - centre[stroke->active[j]];
		sum += z[j] * z[j];
	}
	for (size_t i = 0; i < stroke->readings.residual_count; i++) {
		double image = 0.0;

		for (int j = 0; j < stroke->active_count; j++)
			image += stroke->by_own[i][j] * z[j];
		sum += image * image;
	}
	return sum;
}

/* Plays a draw and notes its likelihood. Returns its cost. */
static double play_draw(const struct sampling *sampling, struct own_draw *draw)
{
	double residuals[RESIDUALS_MAX], cost = 0.0;

	draw->log_likelihood = -HUGE_VAL;
	if (!stroke_case_residuals_to(sampling->stroke, sampling->point, draw->own, TOLERANCE,
	                              residuals, NULL))
		return HUGE_VAL;
	for (size_t i = 0; i < sampling->stroke->readings.residual_count; i++)
		cost += residuals[i] * residuals[i];
	draw->log_likelihood = -0.5 * cost;
	for (int j = 0; j < OWN_STROKE; j++)
		cost += draw->own[j] * draw->own[j];
	return cost;
}

/* Own unknowns from N(centre, width^2 (1 + J'J)^-1); those that do not matter from their prior.
 * With z and e standard normal, z - J' C^-1 (e + J z) has that covariance for width 1. */
static void draw_from(struct sampling *sampling, struct source *source, struct own_draw *draw)
{
	const struct own_solution *solution = &sampling->draws->solutions[source->solution];
	const struct stroke_case *stroke = &solution->settled;
	size_t count = stroke->readings.residual_count;
	gsl_matrix_const_view factor = gsl_matrix_const_view_array(solution->factor, count, count);
	double z[OWN_ACTIVE], image[RESIDUALS_MAX];
	gsl_vector_view solved = gsl_vector_view_array(image, count);

	for (int j = 0; j < OWN_UNKNOWNS; j++)
		draw->own[j] = random_normal(&sampling->stream);
	for (int j = 0; j < stroke->active_count; j++)
		z[j] = draw->own[stroke->active[j]];
	for (size_t i = 0; i < count; i++) {
		image[i] = random_normal(&sampling->stream);
		for (int j = 0; j < stroke->active_count; j++)
			image[i] += stroke->by_own[i][j] * z[j];
	}
	gsl_linalg_cholesky_svx(&factor.matrix, &solved.vector);
	for (int j = 0; j < stroke->active_count; j++) {
		for (size_t i = 0; i < count; i++)
			z[j] -= stroke->by_own[i][j] * image[i];
		draw->own[stroke->active[j]] =
		    source->centre[stroke->active[j]] + source->width * z[j];
	}
	source->drawn += 1.0;
	play_draw(sampling, draw);
}

static bool is_distinct(const struct own_draws *draws, const double *own)
{
	for (int k = 0; k < draws->solution_count; k++)
		if (distance(&draws->solutions[k], own, draws->solutions[k].settled.trial_own) <
		    DISTINCT)
			return false;
	return true;
}

/* Settles a stroke from a start; keeps what it finds when that is another solution. */
static void add_solution(struct sampling *sampling, const double *start, double *best)
{
	struct own_draws *draws = sampling->draws;
	struct own_solution *solution = &draws->solutions[draws->solution_count];

	solution->settled = *sampling->stroke;
	solution->settled.active_count = 0;
	solution->settled.tolerance = SETTLE_TOLERANCE;
	memcpy(solution->settled.trial_own, start, sizeof solution->settled.trial_own);
	if (!stroke_case_settle(&solution->settled, sampling->point) ||
	    !stroke_case_linearise(&solution->settled, sampling->point, false) ||
	    !finish_solution(solution) || !is_distinct(draws, solution->settled.trial_own) ||
	    solution->settled.trial_cost > *best + HOPELESS)
		return;
	*best = fmin(*best, solution->settled.trial_cost);
	draws->solution_count++;
}

/* Draws from the prior, and the solutions: the one at hand, then from the best of those draws. */
static void find_solutions(struct sampling *sampling)
{
	struct own_draws *draws = sampling->draws;
	double costs[PRIOR_DRAWS], best = HUGE_VAL;

	for (; draws->count < PRIOR_DRAWS; draws->count++) {
		struct own_draw *draw = &draws->draws[draws->count];

		for (int j = 0; j < OWN_UNKNOWNS; j++)
			draw->own[j] = random_normal(&sampling->stream);
		costs[draws->count] = play_draw(sampling, draw);
	}
	add_solution(sampling, sampling->stroke->own, &best);
	for (int start = 0; start < OWN_SOLUTIONS && draws->solution_count < OWN_SOLUTIONS;
	     start++) {
		size_t pick = 0;

		for (size_t k = 1; k < PRIOR_DRAWS; k++)
			if (costs[k] < costs[pick])
				pick = k;
		if (!(costs[pick] < HUGE_VAL))
			return;
		costs[pick] = HUGE_VAL;
		add_solution(sampling, draws->draws[pick].own, &best);
	}
}

/* Weights of all draws: the likelihood over the density they were drawn from, both relative to the
 * prior. */
static void weigh(struct sampling *sampling)
{
	struct own_draws *draws = sampling->draws;
	double most = -HUGE_VAL, sum = 0.0, squares = 0.0;

	for (size_t k = 0; k < draws->count; k++) {
		struct own_draw *draw = &draws->draws[k];
		double density = PRIOR_DRAWS;

		for (int s = 0; s < sampling->source_count; s++) {
			const struct source *source = &sampling->sources[s];
			const struct own_solution *from = &draws->solutions[source->solution];
			double width = source->width, exponent = from->log_determinant;

			exponent -= distance(from, draw->own, source->centre) / (width * width);
			for (int j = 0; j < from->settled.active_count; j++) {
				double own = draw->own[from->settled.active[j]];

				exponent += own * own - 2.0 * log(width);
			}
			density += source->drawn * exp(0.5 * exponent);
		}
		draw->log_weight = draw->log_likelihood - log(density);
		most = fmax(most, draw->log_weight);
	}
	for (size_t k = 0; k < draws->count; k++) {
		double weight = exp(draws->draws[k].log_weight - most);

		sum += weight;
		squares += weight * weight;
	}
	draws->effective = squares > 0.0 ? sum * sum / squares : 0.0;
}

static void draw_near_solutions(struct sampling *sampling)
{
	struct own_draws *draws = sampling->draws;

	for (int k = 0; k < draws->solution_count; k++)
		for (int wide = 0; wide < 2; wide++) {
			struct source *source = &sampling->sources[sampling->source_count++];

			*source = (struct source){.solution = k, .width = wide ? WIDE : 1.0};
			memcpy(source->centre, draws->solutions[k].settled.trial_own,
			       sizeof source->centre);
		}
	for (int k = 0; k < NEAR_DRAWS; k++) {
		int solution = k % draws->solution_count;
		bool wide = k / draws->solution_count % 3 == 1;

		draw_from(sampling, &sampling->sources[2 * solution + wide],
		          &draws->draws[draws->count]);
		draws->count++;
	}
}

static int nearest_solution(const struct own_draws *draws, const double *own)
{
	double least = HUGE_VAL;
	int nearest = 0;

	for (int k = 0; k < draws->solution_count; k++) {
		double away = distance(&draws->solutions[k], own,
		                       draws->solutions[k].settled.trial_own);

		if (away < least) {
			least = away;
			nearest = k;
		}
	}
	return nearest;
}

/* One of the draws so far, the weightier the likelier, but not as much: by the root of the weight,
 * so that one heavy draw does not take all. */
static size_t choose_centre(struct sampling *sampling, size_t count, double most, double sum)
{
	double left = random_uniform(&sampling->stream) * sum;
	size_t k = 0;

	for (; k + 1 < count; k++) {
		left -= exp(0.5 * (sampling->draws->draws[k].log_weight - most));
		if (left < 0.0)
			break;
	}
	return k;
}

/* Second population (Cappe et al., J. Comput. Graph. Stat. 13, 907 (2004)). */
static void draw_again(struct sampling *sampling)
{
	struct own_draws *draws = sampling->draws;
	double most = -HUGE_VAL, sum = 0.0;
	size_t count = draws->count;
	int first = sampling->source_count;

	for (size_t k = 0; k < count; k++)
		most = fmax(most, draws->draws[k].log_weight);
	for (size_t k = 0; k < count; k++)
		sum += exp(0.5 * (draws->draws[k].log_weight - most));
	for (int c = 0; c < CENTRES; c++) {
		const double *own = draws->draws[choose_centre(sampling, count, most, sum)].own;
		struct source *source = &sampling->sources[sampling->source_count++];

		*source = (struct source){.solution = nearest_solution(draws, own), .width = NARROW};
		memcpy(source->centre, own, sizeof source->centre);
	}
	for (int k = 0; k < AGAIN_DRAWS; k++)
		draw_from(sampling, &sampling->sources[first + k % CENTRES],
		          &draws->draws[draws->count++]);
}

bool own_draws_make(const struct stroke_case *stroke, const struct stroke_point *point,
                    uint64_t seed, struct own_draws *draws)
{
	struct sampling sampling = {.stroke = stroke,
	                            .point = point,
	                            .stream = random_start(seed, stroke->stream),
	                            .draws = draws};

	draws->count = 0;
	draws->solution_count = 0;
	find_solutions(&sampling);
	if (draws->solution_count == 0)
		return false;
	draw_near_solutions(&sampling);
	weigh(&sampling);
	draws->again = draws->effective < ENOUGH;
	if (draws->again) {
		draw_again(&sampling);
		weigh(&sampling);
	}
	for (size_t k = 0; k < draws->count; k++)
		draws->draws[k].solution = nearest_solution(draws, draws->draws[k].own);
	return draws->effective > 0.0;
}
