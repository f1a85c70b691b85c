/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/stroke_mixture.h"

#include <math.h>

/* The value of a mixture and its derivatives: what the chains take most of their time for. */

/* Exponent of a share below which a draw is left out of the derivatives. */
#define NEGLIGIBLE 1e-7

size_t stroke_mixture_work(const struct stroke_mixture *mixture)
{
	return mixture->blocks * 2 * MIXTURE_BLOCK +
	       (size_t)mixture->solution_count * (mixture->felt + 1) + mixture->draw_count;
}

/* All rows at a point so far away from where the mixture was made. */
static void find_rows(const struct stroke_mixture *mixture, const double *away, double *rows)
{
	const mixture_pair *slopes = mixture->slopes, *start = mixture->starts;

	for (size_t block = 0; block < mixture->blocks; block++) {
		mixture_pair a = start[0], b = start[1], c = start[2], d = start[3];

		for (size_t m = 0; m < mixture->felt; m++) {
			mixture_pair by = {away[m], away[m]};

			a += by * slopes[0];
			b += by * slopes[1];
			c += by * slopes[2];
			d += by * slopes[3];
			slopes += MIXTURE_BLOCK;
		}
		for (int lane = 0; lane < 2; lane++) {
			rows[lane] = a[lane];
			rows[2 + lane] = b[lane];
			rows[4 + lane] = c[lane];
			rows[6 + lane] = d[lane];
		}
		start += MIXTURE_BLOCK;
		rows += 2 * MIXTURE_BLOCK;
	}
}

/* Adds to sum the derivatives of what is made of the rows, each of which pulls with its number. */
static void add_rows(const struct stroke_mixture *mixture, const double *pulls, double *sum)
{
	const mixture_pair *slopes = mixture->slopes;
	mixture_pair sums[STROKE_OUTER];

	for (size_t m = 0; m < mixture->felt; m++)
		sums[m] = (mixture_pair){0.0, 0.0};
	for (size_t block = 0; block < mixture->blocks; block++) {
		mixture_pair a = {pulls[0], pulls[1]}, b = {pulls[2], pulls[3]};
		mixture_pair c = {pulls[4], pulls[5]}, d = {pulls[6], pulls[7]};

		for (size_t m = 0; m < mixture->felt; m++) {
			sums[m] += (a * slopes[0] + b * slopes[1]) +
			           (c * slopes[2] + d * slopes[3]);
			slopes += MIXTURE_BLOCK;
		}
		pulls += 2 * MIXTURE_BLOCK;
	}
	for (size_t m = 0; m < mixture->felt; m++)
		sum[m] += sums[m][0] + sums[m][1];
}

/* What the own unknowns of each solution add to the cost by their moves alone, and half of its
 * derivatives. */
static void find_moves(const struct stroke_mixture *mixture, const double *away, double *cost,
                       double *slopes)
{
	size_t felt = mixture->felt;
	const double *moves = mixture->moves;

	for (int s = 0; s < mixture->solution_count; s++) {
		cost[s] = 0.0;
		for (size_t m = 0; m < felt; m++) {
			double slope = 0.0;

			for (size_t l = 0; l < felt; l++)
				slope += moves[l] * away[l];
			slopes[(size_t)s * felt + m] = slope;
			cost[s] += slope * away[m];
			moves += felt;
		}
	}
}

/* By how much the cost of a draw has changed, from its rows and what its solution adds. */
static double draw_change(const struct stroke_mixture *mixture, size_t k, const double *rows,
                          const double *moves)
{
	size_t count = mixture->count, first = k * (count + 1);
	const double *start = (const double *)mixture->starts + first;
	double change = moves[mixture->solutions[k]];

	rows += first;
	for (size_t i = 0; i < count; i++)
		change += (rows[i] - start[i]) * (rows[i] + start[i]);
	return change + 2.0 * rows[count];
}

/* Turns the rows into what they pull with, and adds the derivatives of the log of the sum of draws,
 * times factor. slopes: of the solutions' moves. */
static void add_gradient(const struct stroke_mixture *mixture, const double *shares, double *rows,
                         const double *slopes, double factor, double *gradient)
{
	size_t count = mixture->count, felt = mixture->felt;
	double sum[STROKE_OUTER] = {0.0};

	for (size_t k = 0; k < mixture->draw_count; k++) {
		double *row = rows + k * (count + 1), share = shares[k];
		const double *moved = slopes + (size_t)mixture->solutions[k] * felt;

		if (share < NEGLIGIBLE)
			share = 0.0;
		for (size_t i = 0; i < count; i++)
			row[i] *= share;
		row[count] = share;
		for (size_t m = 0; m < felt; m++)
			sum[m] += share * moved[m];
	}
	add_rows(mixture, rows, sum);
	for (size_t m = 0; m < felt; m++)
		gradient[mixture->outer[m]] -= factor * sum[m];
}

double stroke_mixture_log(const struct stroke_mixture *mixture, const double *x, double *gradient,
                          double *work, double *share)
{
	double *rows = work, *moves = rows + mixture->blocks * 2 * MIXTURE_BLOCK;
	double *slopes = moves + mixture->solution_count;
	double *shares = slopes + (size_t)mixture->solution_count * mixture->felt;
	double away[STROKE_OUTER], most = -HUGE_VAL, sum = 0.0, log_sum, right;

	for (size_t m = 0; m < mixture->felt; m++)
		away[m] = x[mixture->outer[m]] - mixture->point[m];
	find_rows(mixture, away, rows);
	find_moves(mixture, away, moves, slopes);
	for (size_t k = 0; k < mixture->draw_count; k++) {
		shares[k] =
		    mixture->log_weights[k] - 0.5 * draw_change(mixture, k, rows, moves);
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
		add_gradient(mixture, shares, rows, slopes, right, gradient);
	return mixture->floor > log_sum ? mixture->floor - log1p(-right) : log_sum - log(right);
}

/* Adds the products of a draw's slopes, weighted, to felt * felt numbers. */
static void add_products(const struct stroke_mixture *mixture, size_t k, double share, double *sum)
{
	size_t felt = mixture->felt, first = k * (mixture->count + 1);
	const double *moves = mixture->moves + (size_t)mixture->solutions[k] * felt * felt;

	for (size_t m = 0; m < felt; m++)
		for (size_t l = 0; l < felt; l++) {
			double product = moves[m * felt + l];

			for (size_t i = 0; i < mixture->count; i++)
				product += *stroke_mixture_slope(mixture, first + i, m) *
				           *stroke_mixture_slope(mixture, first + i, l);
			sum[m * felt + l] += share * product;
		}
}

void stroke_mixture_normal(const struct stroke_mixture *mixture, size_t size, double *normal)
{
	double products[STROKE_OUTER * STROKE_OUTER] = {0.0}, most = -HUGE_VAL, sum = 0.0;
	size_t felt = mixture->felt;

	for (size_t k = 0; k < mixture->draw_count; k++)
		most = fmax(most, mixture->log_weights[k]);
	for (size_t k = 0; k < mixture->draw_count; k++)
		sum += exp(mixture->log_weights[k] - most);
	for (size_t k = 0; k < mixture->draw_count; k++)
		add_products(mixture, k, exp(mixture->log_weights[k] - most) / sum, products);
	for (size_t m = 0; m < felt; m++)
		for (size_t l = 0; l < felt; l++)
			normal[(size_t)mixture->outer[m] * size + (size_t)mixture->outer[l]] +=
			    products[m * felt + l];
}
