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

static bool reserve(struct stroke_mixture *mixture)
{
	size_t each = mixture->count * (1 + mixture->felt) + mixture->active;
	size_t shifts = (size_t)mixture->solution_count * mixture->active * mixture->felt;
	double *next;

	mixture->space = calloc(shifts + KEPT_DRAWS * each, sizeof(double));
	mixture->draws = calloc(KEPT_DRAWS, sizeof *mixture->draws);
	if (mixture->space == NULL || mixture->draws == NULL)
		return false;
	mixture->shifts = mixture->space;
	next = mixture->space + shifts;
	for (size_t k = 0; k < KEPT_DRAWS; k++) {
		mixture->draws[k].residuals = next;
		mixture->draws[k].slopes = next + mixture->count;
		mixture->draws[k].own = next + mixture->count * (1 + mixture->felt);
		next += each;
	}
	return true;
}

/* What a mixture is made from. */
struct making {
	const struct own_draws *draws;
	const struct stroke_point *point;
	int place[STROKE_OUTER];     /* of the outer unknowns that are felt, in by_outer */
	struct stroke_case *scratch; /* a stroke to play with */
	size_t kept;                 /* draws to keep */
	double *by_own;              /* per draw kept, count * active: slopes of its residuals */
};

/* Adds a draw: its residuals, exactly, and their slopes while its own unknowns stay. */
static void take_draw(struct stroke_mixture *mixture, struct making *making,
                      const struct own_draw *draw, double log_weight)
{
	struct mixture_draw *taken = &mixture->draws[mixture->draw_count];
	struct stroke_case *scratch = making->scratch;
	double *by_own = making->by_own + mixture->draw_count * mixture->count * mixture->active;

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
			by_own[i * mixture->active + (size_t)j] = scratch->by_own[i][j];
	}
	mixture->draw_count++;
}

/* Keeps making->kept of the draws by systematic resampling (Kitagawa, J. Comput. Graph. Stat. 5, 1
 * (1996)); one that is chosen several times is kept once with that weight. The weights keep their
 * sum. */
static void thin(struct stroke_mixture *mixture, struct making *making, double next)
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
static void add_products(const struct stroke_mixture *mixture, const double *by_own,
                         const double *by_outer, double weight, double *own_own,
                         double *own_outer)
{
	size_t active = mixture->active, felt = mixture->felt;

	for (size_t i = 0; i < mixture->count; i++)
		for (size_t j = 0; j < active; j++) {
			double slope = weight * by_own[i * active + j];

			for (size_t l = 0; l < active; l++)
				own_own[j * active + l] += slope * by_own[i * active + l];
			for (size_t m = 0; m < felt; m++)
				own_outer[j * felt + m] += slope * by_outer[i * felt + m];
		}
}

/* How the own unknowns of a solution move with the outer ones: -(1 + J'J)^-1 J'G as the best would
 * in a linear stroke, but with the means of J'J and J'G over its draws. Where a stroke bends within
 * their spread, those at the best alone (J = 0 where the ball just stops) would leave the draws'
 * residuals to change most, and it is their change that is taken as linear. */
static void find_shift(struct stroke_mixture *mixture, const struct making *making, int solution)
{
	size_t active = mixture->active, felt = mixture->felt;
	double own_own[OWN_ACTIVE * OWN_ACTIVE] = {0.0};
	double own_outer[OWN_ACTIVE * STROKE_OUTER] = {0.0};
	double *shift = mixture->shifts + (size_t)solution * active * felt;
	double most = -HUGE_VAL, sum = 0.0;
	gsl_matrix_view matrix = gsl_matrix_view_array(own_own, active, active);

	for (size_t k = 0; k < mixture->draw_count; k++)
		if (mixture->draws[k].solution == solution)
			most = fmax(most, mixture->draws[k].log_weight);
	for (size_t k = 0; k < mixture->draw_count; k++) {
		const struct mixture_draw *draw = &mixture->draws[k];
		double weight = draw->solution == solution ? exp(draw->log_weight - most) : 0.0;

		sum += weight;
		add_products(mixture, making->by_own + k * mixture->count * active, draw->slopes,
		             weight, own_own, own_outer);
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

/* Adds to the draws' slopes what the moves of their own unknowns bring. */
static void move_slopes(struct stroke_mixture *mixture, const struct making *making)
{
	size_t active = mixture->active, felt = mixture->felt;

	for (size_t k = 0; k < mixture->draw_count; k++) {
		const struct mixture_draw *draw = &mixture->draws[k];
		const double *shift = mixture->shifts + (size_t)draw->solution * active * felt;
		const double *by_own = making->by_own + k * mixture->count * active;

		for (size_t i = 0; i < mixture->count; i++)
			for (size_t j = 0; j < active; j++)
				for (size_t m = 0; m < felt; m++)
					draw->slopes[i * felt + m] +=
					    by_own[i * active + j] * shift[j * felt + m];
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
	const struct own_solution *best = best_solution(draws);

	making->kept = draws->again ? KEPT_DRAWS : KEPT_FEW;
	take_outer(mixture, stroke, making->point, making->place);
	mixture->count = stroke->readings.residual_count;
	mixture->solution_count = draws->solution_count;
	for (int k = 0; k < draws->solution_count; k++)
		if (mixture->active < (size_t)draws->solutions[k].settled.active_count)
			mixture->active = (size_t)draws->solutions[k].settled.active_count;
	making->by_own = calloc(KEPT_DRAWS * mixture->count * mixture->active, sizeof(double));
	if (making->by_own == NULL || !reserve(mixture))
		return false;
	thin(mixture, making, next);
	for (int k = 0; k < mixture->solution_count; k++)
		find_shift(mixture, making, k);
	move_slopes(mixture, making);
	mixture->floor =
	    -0.5 * (gsl_cdf_chisq_Qinv(WENT_WRONG, (double)stroke->readings.count) +
	            best->log_determinant);
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
	free(making.by_own);
	return made;
}

void stroke_mixture_free(struct stroke_mixture *mixture)
{
	free(mixture->space);
	free(mixture->draws);
	*mixture = (struct stroke_mixture){.space = NULL};
}

size_t stroke_mixture_work(const struct stroke_mixture *mixture)
{
	return (size_t)mixture->solution_count * mixture->active * 2 +
	       mixture->draw_count * (mixture->count + 1);
}

/* How the own unknowns of every solution move with the outer ones, into moves. */
static void find_moves(const struct stroke_mixture *mixture, const double *away, double *moves)
{
	for (size_t j = 0; j < (size_t)mixture->solution_count * mixture->active; j++) {
		moves[j] = 0.0;
		for (size_t m = 0; m < mixture->felt; m++)
			moves[j] += mixture->shifts[j * mixture->felt + m] * away[m];
	}
}

/* Log of weight times likelihood times prior of one draw, with its residuals there. */
static double draw_log(const struct stroke_mixture *mixture, const struct mixture_draw *draw,
                       const double *away, const double *move, double *residuals)
{
	double change = 0.0;

	for (size_t i = 0; i < mixture->count; i++) {
		const double *slopes = draw->slopes + i * mixture->felt;
		double residual = draw->residuals[i];

		for (size_t m = 0; m < mixture->felt; m++)
			residual += slopes[m] * away[m];
		residuals[i] = residual;
		change += (residual - draw->residuals[i]) * (residual + draw->residuals[i]);
	}
	for (size_t j = 0; j < mixture->active; j++)
		change += move[j] * (move[j] + 2.0 * draw->own[j]);
	return draw->log_weight - 0.5 * change;
}

/* Adds factor times the derivatives of the log of the sum of draws, whose shares are given. */
static void add_gradient(const struct stroke_mixture *mixture, const double *shares,
                         const double *residuals, const double *moves, double *pulls,
                         double factor, double *gradient)
{
	double sum[STROKE_OUTER] = {0.0};
	size_t active = mixture->active;

	memset(pulls, 0, (size_t)mixture->solution_count * active * sizeof *pulls);
	for (size_t k = 0; k < mixture->draw_count; k++) {
		const struct mixture_draw *draw = &mixture->draws[k];
		const double *move = moves + (size_t)draw->solution * active;
		double *pull = pulls + (size_t)draw->solution * active;

		if (shares[k] < 1e-7)
			continue;
		for (size_t j = 0; j < active; j++)
			pull[j] += shares[k] * (draw->own[j] + move[j]);
		for (size_t i = 0; i < mixture->count; i++) {
			double pulled = shares[k] * residuals[k * mixture->count + i];
			const double *slopes = draw->slopes + i * mixture->felt;

			for (size_t m = 0; m < mixture->felt; m++)
				sum[m] += pulled * slopes[m];
		}
	}
	for (size_t j = 0; j < (size_t)mixture->solution_count * active; j++)
		for (size_t m = 0; m < mixture->felt; m++)
			sum[m] += pulls[j] * mixture->shifts[j * mixture->felt + m];
	for (size_t m = 0; m < mixture->felt; m++)
		gradient[mixture->outer[m]] -= factor * sum[m];
}

double stroke_mixture_log(const struct stroke_mixture *mixture, const double *x, double *gradient,
                          double *work, double *share)
{
	size_t own = (size_t)mixture->solution_count * mixture->active;
	double *moves = work, *pulls = work + own, *shares = pulls + own;
	double *residuals = shares + mixture->draw_count;
	double away[STROKE_OUTER], most = -HUGE_VAL, sum = 0.0, log_sum, right;

	for (size_t m = 0; m < mixture->felt; m++)
		away[m] = x[mixture->outer[m]] - mixture->point[m];
	find_moves(mixture, away, moves);
	for (size_t k = 0; k < mixture->draw_count; k++) {
		const struct mixture_draw *draw = &mixture->draws[k];

		shares[k] = draw_log(mixture, draw, away,
		                     moves + (size_t)draw->solution * mixture->active,
		                     residuals + k * mixture->count);
		most = fmax(most, shares[k]);
	}
	for (size_t k = 0; k < mixture->draw_count; k++)
		sum += shares[k] = exp(shares[k] - most);
	for (size_t k = 0; k < mixture->draw_count; k++)
		shares[k] /= sum;
	log_sum = most + log(sum);
	right = 1.0 / (1.0 + exp(mixture->floor - log_sum));
	if (share != NULL)
		*share = right;
	if (gradient != NULL)
		add_gradient(mixture, shares, residuals, moves, pulls, right, gradient);
	return mixture->floor > log_sum ? mixture->floor - log1p(-right) : log_sum - log(right);
}

void stroke_mixture_normal(const struct stroke_mixture *mixture, size_t size, double *normal)
{
	double most = -HUGE_VAL, sum = 0.0;

	for (size_t k = 0; k < mixture->draw_count; k++)
		most = fmax(most, mixture->draws[k].log_weight);
	for (size_t k = 0; k < mixture->draw_count; k++)
		sum += exp(mixture->draws[k].log_weight - most);
	for (size_t k = 0; k < mixture->draw_count; k++) {
		const struct mixture_draw *draw = &mixture->draws[k];
		double share = exp(draw->log_weight - most) / sum;
		const double *shift = mixture->shifts +
		                      (size_t)draw->solution * mixture->active * mixture->felt;

		for (size_t m = 0; m < mixture->felt; m++)
			for (size_t l = 0; l < mixture->felt; l++) {
				double product = 0.0;

				for (size_t j = 0; j < mixture->active; j++)
					product += shift[j * mixture->felt + m] *
					           shift[j * mixture->felt + l];
				for (size_t i = 0; i < mixture->count; i++)
					product += draw->slopes[i * mixture->felt + m] *
					           draw->slopes[i * mixture->felt + l];
				normal[(size_t)mixture->outer[m] * size + (size_t)mixture->outer[l]] +=
				    share * product;
			}
	}
}
