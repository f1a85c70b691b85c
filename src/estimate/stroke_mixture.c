/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/stroke_mixture.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>

#include "base/random.h"
#include "estimate/own_draws.h"
#include "estimate/stroke_gradient.h"

#define KEPT_DRAWS 40 /* of a stroke with a bend or several solutions */
#define KEPT_FEW 16   /* of one that Laplace's method would nearly do for: its draws all say the same */
/* The same of one of many strokes, whose errors cancel. */
#define KEPT_OF_MANY 16
#define KEPT_FEW_OF_MANY 6
/* A stroke less likely than this counts as one that went wrong rather than as it should. */
#define WENT_WRONG 1e-4
#define THINNING_STREAM UINT64_C(0x7481) /* its numbers are independent of those of the draws */

/* Which outer unknowns the stroke feels, and where they stand. */
static void take_outer(struct stroke_mixture *mixture, const struct stroke_case *stroke,
                       const struct stroke_point *point, int place[STROKE_OUTER])
{
	mixture->felt = 0;
	for (int o = 0; o < STROKE_OUTER; o++) {
		bool shared = o >= CONSTANT_COUNT;
		int parameter = shared ? stroke->parameter[o - CONSTANT_COUNT] : o;

		if (parameter < 0)
			continue;
		place[mixture->felt] = o;
		mixture->outer[mixture->felt] = parameter;
		mixture->point[mixture->felt++] =
		    shared ? point->shared[o - CONSTANT_COUNT] : point->constants[o];
	}
}

/* A draw that is kept. */
struct taken {
	double log_weight;
	int solution;
	double *residuals; /* count */
	double *slopes;    /* count * felt: of the residuals by the outer unknowns */
	double *by_own;    /* count * active */
	double *own;       /* active */
};

/* What a mixture is made from. */
struct making {
	const struct own_draws *draws;
	const struct stroke_point *point;
	int place[STROKE_OUTER];     /* of the outer unknowns that are felt, in by_outer */
	struct stroke_case *scratch; /* a stroke to play with */
	size_t kept;                 /* draws to keep */
	size_t active;               /* own unknowns, at most, of a solution */
	size_t taken_count;
	struct taken taken[KEPT_DRAWS];
	double *shifts; /* per solution active * felt: how its own unknowns move with the outer ones */
	double *space;
};

static bool reserve(const struct stroke_mixture *mixture, struct making *making)
{
	size_t count = mixture->count, felt = mixture->felt, active = making->active;
	size_t shifts = (size_t)mixture->solution_count * active * felt;
	double *next;

	making->space = calloc(shifts + making->kept * (count * (1 + felt + active) + active),
	                       sizeof(double));
	if (making->space == NULL)
		return false;
	making->shifts = making->space;
	next = making->space + shifts;
	for (size_t k = 0; k < making->kept; k++) {
		struct taken *taken = &making->taken[k];

		taken->residuals = next;
		taken->slopes = taken->residuals + count;
		taken->by_own = taken->slopes + count * felt;
		taken->own = taken->by_own + count * active;
		next = taken->own + active;
	}
	return true;
}

/* Adds a draw: its residuals, and their slopes while its own unknowns stay. */
static void take_draw(const struct stroke_mixture *mixture, struct making *making,
                      const struct own_draw *draw, double log_weight)
{
	struct taken *taken = &making->taken[making->taken_count];
	struct stroke_case *scratch = making->scratch;

	*scratch = making->draws->solutions[draw->solution].settled;
	memcpy(scratch->trial_own, draw->own, sizeof scratch->trial_own);
	if (!stroke_case_residuals(scratch, making->point, scratch->trial_own, taken->residuals,
	                           NULL) ||
	    !stroke_gradient_fill(scratch, making->point, true))
		return;
	taken->log_weight = log_weight;
	taken->solution = draw->solution;
	for (int j = 0; j < scratch->active_count; j++)
		taken->own[j] = draw->own[scratch->active[j]];
	for (size_t i = 0; i < mixture->count; i++) {
		for (size_t m = 0; m < mixture->felt; m++)
			taken->slopes[i * mixture->felt + m] =
			    scratch->by_outer[i][making->place[m]];
		for (int j = 0; j < scratch->active_count; j++)
			taken->by_own[i * making->active + (size_t)j] = scratch->by_own[i][j];
	}
	making->taken_count++;
}

/* Keeps making->kept of the draws by systematic resampling (Kitagawa, J. Comput. Graph. Stat. 5, 1
 * (1996)); one that is chosen several times is kept once with that weight. The weights keep their
 * sum. */
static void thin(const struct stroke_mixture *mixture, struct making *making, double next)
{
	const struct own_draws *draws = making->draws;
	double most = -HUGE_VAL, sum = 0.0, reached = 0.0;

	for (size_t k = 0; k < draws->count; k++)
		most = fmax(most, draws->draws[k].log_weight);
	for (size_t k = 0; k < draws->count; k++)
		sum += exp(draws->draws[k].log_weight - most);
	for (size_t k = 0; k < draws->count; k++) {
		int copies = 0;

		reached += (double)making->kept * exp(draws->draws[k].log_weight - most) / sum;
		for (; next < reached; next += 1.0)
			copies++;
		if (copies > 0)
			take_draw(mixture, making, &draws->draws[k],
			          most + log(copies * sum / (double)making->kept));
	}
}

/* Adds the weighted products of a draw's slopes to 1 + J'J (active * active) and J'G (active *
 * felt). */
static void add_products(size_t count, size_t active, size_t felt, const struct taken *taken,
                         double weight, double *own_own, double *own_outer)
{
	for (size_t i = 0; i < count; i++)
		for (size_t j = 0; j < active; j++) {
			double slope = weight * taken->by_own[i * active + j];

			for (size_t l = 0; l < active; l++)
				own_own[j * active + l] += slope * taken->by_own[i * active + l];
			for (size_t m = 0; m < felt; m++)
				own_outer[j * felt + m] += slope * taken->slopes[i * felt + m];
		}
}

/* How the own unknowns of a solution move with the outer ones: -(1 + J'J)^-1 J'G as the best would
 * in a linear stroke, but with the means of J'J and J'G over its draws. Where a stroke bends within
 * their spread, those at the best alone (J = 0 where the ball just stops) would leave the draws'
 * residuals to change most, and it is their change that is taken as linear. */
static void find_shift(const struct stroke_mixture *mixture, struct making *making, int solution)
{
	size_t active = making->active, felt = mixture->felt;
	double own_own[OWN_ACTIVE * OWN_ACTIVE] = {0.0};
	double own_outer[OWN_ACTIVE * STROKE_OUTER] = {0.0};
	double *shift = making->shifts + (size_t)solution * active * felt;
	double most = -HUGE_VAL, sum = 0.0;
	gsl_matrix_view matrix = gsl_matrix_view_array(own_own, active, active);

	for (size_t k = 0; k < making->taken_count; k++)
		if (making->taken[k].solution == solution)
			most = fmax(most, making->taken[k].log_weight);
	for (size_t k = 0; k < making->taken_count; k++) {
		const struct taken *taken = &making->taken[k];
		double weight;

		if (taken->solution != solution)
			continue;
		weight = exp(taken->log_weight - most);
		sum += weight;
		add_products(mixture->count, active, felt, taken, weight, own_own, own_outer);
	}
	for (size_t j = 0; j < active; j++)
		own_own[j * active + j] += sum > 0.0 ? sum : 1.0;
	gsl_linalg_cholesky_decomp1(&matrix.matrix); /* at least a multiple of 1: it exists */
	for (size_t m = 0; m < felt; m++) {
		gsl_vector_view column =
		    gsl_vector_view_array_with_stride(own_outer + m, felt, active);

		gsl_linalg_cholesky_svx(&matrix.matrix, &column.vector);
	}
	for (size_t j = 0; j < active * felt; j++)
		shift[j] = -own_outer[j];
}

/* Adds to a draw's slopes what the moves of its own unknowns bring. */
static void move_slopes(const struct stroke_mixture *mixture, const struct making *making,
                        const struct taken *taken)
{
	size_t active = making->active, felt = mixture->felt;
	const double *shift = making->shifts + (size_t)taken->solution * active * felt;

	for (size_t i = 0; i < mixture->count; i++)
		for (size_t j = 0; j < active; j++)
			for (size_t m = 0; m < felt; m++)
				taken->slopes[i * felt + m] +=
				    taken->by_own[i * active + j] * shift[j * felt + m];
}

/* Room for what is kept of the draws, all 0. */
static bool reserve_rows(struct stroke_mixture *mixture, size_t draws)
{
	size_t lanes = 2 * MIXTURE_BLOCK, felt = mixture->felt;
	size_t moves = (size_t)mixture->solution_count * felt * felt;
	size_t pairs;
	double *numbers;

	mixture->blocks = (draws * (mixture->count + 1) + lanes - 1) / lanes;
	pairs = mixture->blocks * MIXTURE_BLOCK * (1 + felt);
	mixture->space = calloc(1, pairs * sizeof(mixture_pair) + (moves + draws) * sizeof(double) +
	                               draws * sizeof(int));
	if (mixture->space == NULL)
		return false;
	mixture->starts = mixture->space;
	mixture->slopes = mixture->starts + mixture->blocks * MIXTURE_BLOCK;
	numbers = (double *)(mixture->starts + pairs);
	mixture->moves = numbers;
	mixture->log_weights = numbers + moves;
	mixture->solutions = (int *)(numbers + moves + draws);
	return true;
}

/* What a draw's own unknowns u add to the cost as they move by S a with the outer ones: 2 u' S a,
 * half of which is its last row, and a' S' S a, which is the same for all draws of a solution. */
static void pack_draw(struct stroke_mixture *mixture, const struct making *making, size_t k)
{
	const struct taken *taken = &making->taken[k];
	size_t count = mixture->count, felt = mixture->felt, row = k * (count + 1);
	const double *shift = making->shifts + (size_t)taken->solution * making->active * felt;
	double *starts = (double *)mixture->starts;

	mixture->log_weights[k] = taken->log_weight;
	mixture->solutions[k] = taken->solution;
	for (size_t i = 0; i < count; i++) {
		starts[row + i] = taken->residuals[i];
		for (size_t m = 0; m < felt; m++)
			*stroke_mixture_slope(mixture, row + i, m) = taken->slopes[i * felt + m];
	}
	for (size_t m = 0; m < felt; m++)
		for (size_t j = 0; j < making->active; j++)
			*stroke_mixture_slope(mixture, row + count, m) +=
			    taken->own[j] * shift[j * felt + m];
}

static void pack_moves(struct stroke_mixture *mixture, const struct making *making)
{
	size_t felt = mixture->felt, active = making->active;

	for (size_t s = 0; s < (size_t)mixture->solution_count; s++)
		for (size_t j = 0; j < active; j++) {
			const double *shift = making->shifts + (s * active + j) * felt;

			for (size_t m = 0; m < felt; m++)
				for (size_t l = 0; l < felt; l++)
					mixture->moves[(s * felt + m) * felt + l] +=
					    shift[m] * shift[l];
		}
}

static const struct own_solution *best_solution(const struct own_draws *draws)
{
	const struct own_solution *best = &draws->solutions[0];

	for (int k = 1; k < draws->solution_count; k++) {
		const struct own_solution *other = &draws->solutions[k];

		if (other->settled.trial_cost + other->log_determinant <
		    best->settled.trial_cost + best->log_determinant)
			best = other;
	}
	return best;
}

/* Everything from the draws. */
static bool fill(struct stroke_mixture *mixture, const struct stroke_case *stroke,
                 struct making *making, double next)
{
	const struct own_draws *draws = making->draws;

	making->kept = draws->again ? KEPT_DRAWS : KEPT_FEW;
	if (stroke->of_many)
		making->kept = draws->again ? KEPT_OF_MANY : KEPT_FEW_OF_MANY;
	take_outer(mixture, stroke, making->point, making->place);
	mixture->count = stroke->readings.residual_count;
	mixture->solution_count = draws->solution_count;
	for (int k = 0; k < draws->solution_count; k++)
		if (making->active < (size_t)draws->solutions[k].settled.active_count)
			making->active = (size_t)draws->solutions[k].settled.active_count;
	if (!reserve(mixture, making))
		return false;
	thin(mixture, making, next);
	if (!reserve_rows(mixture, making->taken_count))
		return false;
	mixture->draw_count = making->taken_count;
	for (int k = 0; k < mixture->solution_count; k++)
		find_shift(mixture, making, k);
	for (size_t k = 0; k < making->taken_count; k++) {
		move_slopes(mixture, making, &making->taken[k]);
		pack_draw(mixture, making, k);
	}
	pack_moves(mixture, making);
	mixture->floor =
	    -0.5 * (gsl_cdf_chisq_Qinv(WENT_WRONG, (double)stroke->readings.count) +
	            best_solution(draws)->log_determinant);
	return mixture->draw_count > 0;
}

bool stroke_mixture_make(struct stroke_mixture *mixture, const struct stroke_case *stroke,
                         const struct stroke_point *point, uint64_t seed,
                         double own[OWN_UNKNOWNS])
{
	struct own_draws *draws = calloc(1, sizeof *draws);
	struct making making = {
	    .draws = draws, .point = point, .scratch = calloc(1, sizeof *making.scratch)};
	struct random_stream stream = random_start(seed ^ THINNING_STREAM, stroke->stream);
	bool made;

	*mixture = (struct stroke_mixture){.space = NULL};
	made = draws != NULL && making.scratch != NULL &&
	       own_draws_make(stroke, point, seed, draws) &&
	       fill(mixture, stroke, &making, random_uniform(&stream));
	if (made)
		memcpy(own, best_solution(draws)->settled.trial_own, OWN_UNKNOWNS * sizeof *own);
	else
		stroke_mixture_free(mixture);
	free(draws);
	free(making.scratch);
	free(making.space);
	return made;
}

void stroke_mixture_free(struct stroke_mixture *mixture)
{
	free(mixture->space);
	*mixture = (struct stroke_mixture){.space = NULL};
}
