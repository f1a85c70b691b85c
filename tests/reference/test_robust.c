/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "close.h"
#include "estimate/least_squares.h"
#include "estimate/robust_loss.h"

/* The robust loss of the fit, minimised by the fit's own method, against published robust
 * estimates: a stroke of one reading is Huber's case. The scale, which the fit does not estimate,
 * is iterated here as the references do. */

#define NORMAL_75 0.6745      /* 75 % point of the standard normal, as MASS::rlm rounds it */
#define NORMAL_75_OVER 1.4826 /* one over it, as MASS::huber rounds that */
#define SETTLED 1e-12         /* relative change of the scale that ends its iteration */
#define ROUNDS 2000
#define ROWS_MOST 24
#define SIZE_MOST 4

static const struct least_squares_options tight = {
    .iterations = 500, .step_tolerance = 1e-12, .gradient_tolerance = 1e-10};

/* A line through the origin of the columns: y = x b + residual, divided by the scale, under
 * Huber's loss of tuning constant k. */
struct robust_line {
	size_t count, size;
	const double (*x)[SIZE_MOST];
	const double *y;
	double k, scale;
};

static double plain_residual(const struct robust_line *line, const double *b, size_t row)
{
	double residual = -line->y[row];

	for (size_t j = 0; j < line->size; j++)
		residual += line->x[row][j] * b[j];
	return residual;
}

static bool line_residuals(void *context, const double *b, double *residuals)
{
	const struct robust_line *line = context;

	for (size_t i = 0; i < line->count; i++) {
		double residual = plain_residual(line, b, i) / line->scale;

		residuals[i] =
		    residual * robust_factors(residual * residual, line->k * line->k).residual;
	}
	return true;
}

static bool line_jacobian(void *context, const double *b, double *jacobian)
{
	const struct robust_line *line = context;

	for (size_t i = 0; i < line->count; i++) {
		double residual = plain_residual(line, b, i) / line->scale;
		double factor = robust_factors(residual * residual, line->k * line->k).derivative;

		for (size_t j = 0; j < line->size; j++)
			jacobian[i * line->size + j] = factor * line->x[i][j] / line->scale;
	}
	return true;
}

/* The best b at the scale that the line has, from b. */
static void fit_line(struct robust_line *line, double *b, double *covariance)
{
	struct least_squares_problem problem = {.size = line->size,
	                                        .count = line->count,
	                                        .residuals = line_residuals,
	                                        .jacobian = line_jacobian,
	                                        .context = line};
	struct least_squares_result result;

	ck_assert_int_eq(least_squares_fit(&problem, &tight, b, covariance, &result), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_CONVERGED);
	ck_assert(result.covariance_known);
}

/* What a row counts for at b: 1, or less beyond the tuning constant. */
static double row_weight(const struct robust_line *line, const double *b, size_t row)
{
	double residual = plain_residual(line, b, row) / line->scale;

	return robust_loss(residual * residual, line->k * line->k).slope;
}

static int compare_doubles(const void *a, const void *b)
{
	double left = *(const double *)a, right = *(const double *)b;

	return (left > right) - (left < right);
}

static double median(const double *values, size_t count)
{
	double sorted[ROWS_MOST];

	memcpy(sorted, values, count * sizeof *sorted);
	qsort(sorted, count, sizeof *sorted, compare_doubles);
	return 0.5 * (sorted[(count - 1) / 2] + sorted[count / 2]);
}

static double median_size(const struct robust_line *line, const double *b)
{
	double sizes[ROWS_MOST];

	for (size_t i = 0; i < line->count; i++)
		sizes[i] = fabs(plain_residual(line, b, i));
	return median(sizes, line->count);
}

/* Median of the absolute residuals about zero, over that of a standard normal. */
static double median_scale(const struct robust_line *line, const double *b)
{
	return median_size(line, b) / NORMAL_75;
}

/* Huber's proposal 2: the scale at which the squares of the residuals, cut off at k scales, sum up
 * to what they would for a standard normal. One step towards it. */
static double proposal_scale(const struct robust_line *line, const double *b)
{
	double k = line->k, sum = 0.0, inside = erf(k / sqrt(2.0));
	double density = exp(-0.5 * k * k) / sqrt(2.0 * CLOSE_PI);
	double expected = inside - 2.0 * k * density + k * k * (1.0 - inside);

	for (size_t i = 0; i < line->count; i++) {
		double residual = plain_residual(line, b, i) * row_weight(line, b, i);

		sum += residual * residual;
	}
	return sqrt(sum / ((double)(line->count - line->size) * expected));
}

typedef double scale_function(const struct robust_line *line, const double *b);

/* Line and scale in turn until both stay. */
static void fit_with_scale(struct robust_line *line, scale_function *scale, double *b,
                           double *covariance)
{
	for (int round = 0; round < ROUNDS; round++) {
		double before = line->scale;

		fit_line(line, b, covariance);
		line->scale = scale(line, b);
		if (fabs(line->scale - before) <= SETTLED * before)
			return;
	}
	ck_abort_msg("the scale did not settle");
}

/* --- a location ----------------------------------------------------------------------------- */

/* Copper in wholemeal flour, 24 determinations: Analytical Methods Committee, Analyst 114, 1693
 * (1989), which W. N. Venables & B. D. Ripley, Modern Applied Statistics with S, 2002, 5.5, call
 * "chem" and estimate from. */
static const double chem[] = {2.9,  3.1,  3.4,  3.4,  3.7,   3.7,  2.8, 2.5, 2.4, 2.4, 2.7, 2.2,
                              5.28, 3.37, 3.03, 3.03, 28.95, 3.77, 3.4, 2.2, 3.5, 3.6, 3.7, 3.7};
#define CHEM_COUNT 24
static double ones[CHEM_COUNT][SIZE_MOST];

static struct robust_line chem_line(void)
{
	for (size_t i = 0; i < CHEM_COUNT; i++)
		ones[i][0] = 1.0;
	return (struct robust_line){.count = CHEM_COUNT,
	                            .size = 1,
	                            .x = (const double(*)[SIZE_MOST])ones,
	                            .y = chem,
	                            .k = 1.5,
	                            .scale = 1.0};
}

/* Published to six digits: MASS::huber, as in statsmodels' tests of its location estimators. */
START_TEST(location_median_scale)
{
	struct robust_line line = chem_line();
	double middle[SIZE_MOST] = {median(chem, CHEM_COUNT)}, mu[1] = {4.1}, covariance[1];
	int misses = close_miss("chem", 0, "median", 3.385, middle[0], 1e-12);

	line.scale = median_size(&line, middle) * NORMAL_75_OVER;
	fit_line(&line, mu, covariance);
	misses += close_miss("chem", 1, "scale", 0.526323, line.scale, 5e-7);
	misses += close_miss("chem", 2, "location", 3.206724, mu[0], 5e-7);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* MASS::hubers, as above: within a unit of the last decimal, as it stops before its end. */
START_TEST(location_proposal_2)
{
	struct robust_line line = chem_line();
	double mu[1] = {4.1}, covariance[1];
	int misses = 0;

	fit_with_scale(&line, proposal_scale, mu, covariance);
	misses += close_miss("chem", 3, "scale", 0.67365, line.scale, 1e-5);
	misses += close_miss("chem", 4, "location", 3.20549, mu[0], 1e-5);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* --- a regression ---------------------------------------------------------------------------- */

/* Loss of ammonia of a plant, 21 days: K. A. Brownlee, Statistical Theory and Methodology in
 * Science and Engineering, 2nd ed., 1965, p. 454. Air flow, water temperature, acid, constant. */
static const double plant[21][SIZE_MOST] = {
    {80, 27, 89, 1}, {80, 27, 88, 1}, {75, 25, 90, 1}, {62, 24, 87, 1}, {62, 22, 87, 1},
    {62, 23, 87, 1}, {62, 24, 93, 1}, {62, 24, 93, 1}, {58, 23, 87, 1}, {58, 18, 80, 1},
    {58, 18, 89, 1}, {58, 17, 88, 1}, {58, 18, 82, 1}, {58, 19, 93, 1}, {50, 18, 89, 1},
    {50, 18, 86, 1}, {50, 19, 72, 1}, {50, 19, 79, 1}, {50, 20, 80, 1}, {56, 20, 82, 1},
    {70, 20, 91, 1}};
static const double loss[21] = {42, 37, 37, 28, 18, 18, 19, 20, 15, 14, 14,
                                13, 11, 12, 8,  7,  8,  8,  9,  15, 15};
#define PLANT_COUNT 21
#define PLANT_SIZE 4

/* Relative. MASS::rlm, which the published numbers come from, stops when a round changes the
 * residuals by less than 1e-4 of their length: 9e-5 short of the end in the scale, less in all else
 * (its rounds, done again by normal equations in another language, give every published digit). */
#define PUBLISHED 1e-4
/* Those rounds run on to their end, in standard errors: a method that compares sums of squares
 * tells no points apart that are nearer than about the root of the double's epsilon. */
#define ENDED 1e-6

/* Factor from the squares of J'J without loss to the variances: P. J. Huber, Ann. Statist. 1, 799
 * (1973), with his correction for few rows. */
static double huber_variance(const struct robust_line *line, const double *b)
{
	double count = (double)line->count, size = (double)line->size;
	double inside = 0.0, sum = 0.0, correction;

	for (size_t i = 0; i < line->count; i++) {
		double weight = row_weight(line, b, i);
		double residual = plain_residual(line, b, i) * weight;

		sum += residual * residual;
		inside += weight >= 1.0 ? 1.0 / count : 0.0;
	}
	/* Whether a row lies inside is 0 or 1: variance inside (1 - inside) count / (count - 1). */
	correction = 1.0 + size / (count - 1.0) * (1.0 - inside) / inside;
	return correction * correction * sum / (count - size) / (inside * inside);
}

/* Weights below 1, by row. */
static double published_weight(size_t row)
{
	switch (row) {
	case 2:
		return 0.7858871;
	case 3:
		return 0.50494094;
	case 20:
		return 0.36814106;
	default:
		return 1.0;
	}
}

/* Published: R's MASS::rlm, by way of statsmodels' tests of robust regression. */
static int regression_misses(const struct robust_line *line, const double *b, double variance,
                             const double *plain_covariance)
{
	static const double published[] = {0.82937387, 0.92610818, -0.12784916, -41.02653105};
	static const double ended[] = {0.829385770254, 0.926059415549, -0.127846317965,
	                               -41.0264853733};
	static const double deviations[] = {0.11118035, 0.3034081, 0.12885259, 9.8073472};
	int misses = close_miss("stackloss", 0, "scale", 2.44071379, line->scale, PUBLISHED * 2.44);

	misses +=
	    close_miss("stackloss", 0, "scale at the end", 2.440489046, line->scale, ENDED * 2.44);
	for (int j = 0; j < PLANT_SIZE; j++) {
		double deviation = sqrt(variance * plain_covariance[j * PLANT_SIZE + j]);

		misses += close_miss("stackloss", j + 1, "coefficient", published[j], b[j],
		                     PUBLISHED * fabs(published[j]));
		misses += close_miss("stackloss", j + 1, "coefficient at the end", ended[j], b[j],
		                     ENDED * deviations[j]);
		misses += close_miss("stackloss", j + 1, "standard error", deviations[j], deviation,
		                     PUBLISHED * deviations[j]);
	}
	for (size_t i = 0; i < PLANT_COUNT; i++)
		misses += close_miss("stackloss", (int)i + 1, "weight", published_weight(i),
		                     row_weight(line, b, i), PUBLISHED);
	return misses;
}

START_TEST(regression)
{
	struct robust_line line = {.count = PLANT_COUNT,
	                           .size = PLANT_SIZE,
	                           .x = plant,
	                           .y = loss,
	                           .k = 1.345,
	                           .scale = 3.0};
	struct robust_line plain = line;
	double b[PLANT_SIZE] = {0.0}, covariance[PLANT_SIZE * PLANT_SIZE];
	double unused[PLANT_SIZE] = {0.0}, plain_covariance[PLANT_SIZE * PLANT_SIZE];

	fit_with_scale(&line, median_scale, b, covariance);
	plain.k = 1e6;
	plain.scale = 1.0;
	fit_line(&plain, unused, plain_covariance);
	ck_assert_int_eq(regression_misses(&line, b, huber_variance(&line, b), plain_covariance),
	                 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("robust loss against published estimates");
	TCase *location = tcase_create("location");
	TCase *line = tcase_create("regression");

	tcase_add_test(location, location_median_scale);
	tcase_add_test(location, location_proposal_2);
	suite_add_tcase(suite, location);
	tcase_add_test(line, regression);
	suite_add_tcase(suite, line);
	return close_run(suite);
}
