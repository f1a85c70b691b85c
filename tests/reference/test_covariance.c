/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "close.h"
#include "estimate/coverage.h"
#include "estimate/least_squares.h"
#include "estimate/propagate.h"

/* Covariances, from data to constants and from there to functions of them, against the worked
 * examples of the Guide to the expression of uncertainty in measurement, JCGM 100:2008 (GUM). */

/* --- H.3: a straight line -------------------------------------------------------------------- */

/* Readings of a thermometer t [deg C] and their corrections b [deg C]. */
static const double gum_t[] = {21.521, 22.012, 22.512, 23.003, 23.507, 23.999,
                               24.513, 25.002, 25.503, 26.010, 26.511};
static const double gum_b[] = {-0.171, -0.169, -0.166, -0.159, -0.164, -0.165,
                               -0.156, -0.157, -0.159, -0.161, -0.160};
#define GUM_COUNT 11
#define GUM_UNIT 0.0035 /* [deg C] the scatter of the corrections, as a unit */

static const struct least_squares_options tight = {
    .iterations = 2000, .step_tolerance = 1e-10, .gradient_tolerance = 1e-9};

static bool gum_residuals(void *context, const double *x, double *residuals)
{
	(void)context;
	for (size_t i = 0; i < GUM_COUNT; i++)
		residuals[i] = (x[0] + x[1] * (gum_t[i] - 20.0) - gum_b[i]) / GUM_UNIT;
	return true;
}

/* The correction at a temperature [deg C]. */
static double correction(const void *context, const double *y)
{
	return y[0] + y[1] * (*(const double *)context - 20.0);
}

START_TEST(thermometer)
{
	static const double at = 30.0;
	struct least_squares_problem problem = {
	    .size = 2, .count = GUM_COUNT, .residuals = gum_residuals};
	struct least_squares_result result;
	double y[2] = {0.37, -0.81}, c[4], slopes[2], s, u1, u2, r, u30;
	int misses = 0;

	ck_assert_int_eq(least_squares_fit(&problem, &tight, y, c, &result), STATUS_OK);
	ck_assert_int_eq(result.stop, LEAST_SQUARES_CONVERGED);
	s = sqrt(result.cost / (GUM_COUNT - 2)); /* in units */
	u1 = s * sqrt(c[0]);
	u2 = s * sqrt(c[3]);
	r = c[1] / sqrt(c[0] * c[3]);
	propagate_slopes(correction, &at, y, c, 2, 0.0, slopes);
	u30 = s * sqrt(propagate_covariance(slopes, slopes, c, 2));
	/* As published ... */
	misses += close_miss("H.3", 1, "y1", -0.1712, y[0], 0.00005);
	misses += close_miss("H.3", 2, "u(y1)", 0.0029, u1, 0.00005);
	misses += close_miss("H.3", 3, "y2", 0.00218, y[1], 0.000005);
	misses += close_miss("H.3", 4, "u(y2)", 0.00067, u2, 0.000005);
	misses += close_miss("H.3", 5, "r", -0.930, r, 0.0005);
	misses += close_miss("H.3", 6, "s", 0.0035, s * GUM_UNIT, 0.00005);
	misses += close_miss("H.3", 7, "b(30)", -0.1494, correction(&at, y), 0.00005);
	misses += close_miss("H.3", 8, "u(b(30))", 0.0041, u30, 0.00005);
	/* ... and worked out again from the inputs in full, by the formulas (H.13). */
	misses += close_miss("H.3", 9, "y1", -0.171203790, y[0], 1e-9);
	misses += close_miss("H.3", 10, "u(y1)", 0.002877598, u1, 1e-9);
	misses += close_miss("H.3", 11, "y2", 0.002182698, y[1], 1e-9);
	misses += close_miss("H.3", 12, "u(y2)", 0.000667939, u2, 1e-9);
	misses += close_miss("H.3", 13, "r", -0.930430, r, 1e-6);
	misses += close_miss("H.3", 14, "s", 0.003497564, s * GUM_UNIT, 1e-9);
	misses += close_miss("H.3", 15, "b(30)", -0.149376813, correction(&at, y), 1e-9);
	misses += close_miss("H.3", 16, "u(b(30))", 0.004138596, u30, 1e-9);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* --- H.2: functions of correlated numbers ----------------------------------------------------- */

/* Five observations at once of a voltage [V], a current [A] and the phase between them [rad]. */
#define OBSERVATIONS 5
#define QUANTITIES 3
static const double observed[QUANTITIES][OBSERVATIONS] = {
    {5.007, 4.994, 5.005, 4.990, 4.999},
    {0.019663, 0.019639, 0.019640, 0.019685, 0.019678},
    {1.0456, 1.0438, 1.0468, 1.0428, 1.0433}};

/* Means and their covariance (GUM, 4.2.3 and 5.2.3). */
static void observe_means(double mean[QUANTITIES], double covariance[QUANTITIES * QUANTITIES])
{
	for (int i = 0; i < QUANTITIES; i++) {
		mean[i] = 0.0;
		for (int k = 0; k < OBSERVATIONS; k++)
			mean[i] += observed[i][k] / OBSERVATIONS;
	}
	for (int i = 0; i < QUANTITIES; i++)
		for (int j = 0; j < QUANTITIES; j++) {
			double sum = 0.0;

			for (int k = 0; k < OBSERVATIONS; k++)
				sum += (observed[i][k] - mean[i]) * (observed[j][k] - mean[j]);
			covariance[i * QUANTITIES + j] = sum / (OBSERVATIONS * (OBSERVATIONS - 1));
		}
}

static double resistance(const void *context, const double *x)
{
	(void)context;
	return x[0] / x[1] * cos(x[2]);
}

static double reactance(const void *context, const double *x)
{
	(void)context;
	return x[0] / x[1] * sin(x[2]);
}

static double impedance(const void *context, const double *x)
{
	(void)context;
	return x[0] / x[1];
}

START_TEST(simultaneous_resistance_and_reactance)
{
	static propagate_function *const functions[] = {resistance, reactance, impedance};
	/* As published; the exact uncertainty of the reactance, 0.29558, rounds to 0.296, so a unit of
	 * the last digit is allowed there. */
	static const double published[] = {127.732, 219.847, 254.260};
	static const double uncertainties[] = {0.071, 0.295, 0.236};
	static const double rounding[] = {0.0005, 0.001, 0.0005};
	/* Worked out again from the inputs in full, by exact derivatives. */
	static const double full[] = {127.732170, 219.846512, 254.259702};
	static const double full_uncertainties[] = {0.071071, 0.295582, 0.236336};
	double x[QUANTITIES], covariance[QUANTITIES * QUANTITIES];
	double slopes[3][QUANTITIES], u[3];
	double r_x, r_z, x_z;
	int misses = 0;

	observe_means(x, covariance);
	for (int i = 0; i < 3; i++) {
		double value = functions[i](NULL, x);

		propagate_slopes(functions[i], NULL, x, covariance, QUANTITIES, 0.0, slopes[i]);
		u[i] = sqrt(propagate_covariance(slopes[i], slopes[i], covariance, QUANTITIES));
		misses += close_miss("H.2", i, "value", published[i], value, 0.0005);
		misses += close_miss("H.2", i, "uncertainty", uncertainties[i], u[i], rounding[i]);
		misses += close_miss("H.2", i, "value in full", full[i], value, 5e-7);
		misses +=
		    close_miss("H.2", i, "uncertainty in full", full_uncertainties[i], u[i], 1e-6);
	}
	r_x = propagate_covariance(slopes[0], slopes[1], covariance, QUANTITIES) / (u[0] * u[1]);
	r_z = propagate_covariance(slopes[0], slopes[2], covariance, QUANTITIES) / (u[0] * u[2]);
	x_z = propagate_covariance(slopes[1], slopes[2], covariance, QUANTITIES) / (u[1] * u[2]);
	misses += close_miss("H.2", 3, "r(R, X)", -0.588, r_x, 0.0005);
	misses += close_miss("H.2", 4, "r(R, Z)", -0.485, r_z, 0.0005);
	misses += close_miss("H.2", 5, "r(X, Z)", 0.993, x_z, 0.0005);
	misses += close_miss("H.2", 6, "r(R, X) in full", -0.588430, r_x, 1e-6);
	misses += close_miss("H.2", 7, "r(R, Z) in full", -0.485259, r_z, 1e-6);
	misses += close_miss("H.2", 8, "r(X, Z) in full", 0.992512, x_z, 1e-6);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* --- G: expanded uncertainty ------------------------------------------------------------------ */

/* Table G.2, 95 %, to three or four digits (values from memory, as in any table). */
START_TEST(coverage_factors)
{
	static const struct {
		double freedom, factor, rounding;
	} rows[] = {{1, 12.71, 0.005}, {2, 4.30, 0.005},  {3, 3.18, 0.005},    {4, 2.78, 0.005},
	            {5, 2.57, 0.005},  {6, 2.45, 0.005},  {7, 2.36, 0.005},    {8, 2.31, 0.005},
	            {9, 2.26, 0.005},  {10, 2.23, 0.005}, {15, 2.13, 0.005},   {20, 2.09, 0.005},
	            {30, 2.04, 0.005}, {50, 2.01, 0.005}, {100, 1.984, 0.0005}};
	int misses = close_miss("G.2", 0, "factor", 1.960, coverage_factor(HUGE_VAL), 0.0005);

	/* The normal one is the limit of the others. */
	misses +=
	    close_miss("G.2", 1, "factor", coverage_factor(HUGE_VAL), coverage_factor(1e7), 1e-6);
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
		misses += close_miss("G.2", (int)rows[i].freedom, "factor", rows[i].factor,
		                     coverage_factor(rows[i].freedom), rows[i].rounding);
	/* G.4.1: 19.0 effective degrees of freedom, 1.03 % standard, 2.2 % expanded. */
	misses += close_miss("G.4.1", 1, "t95", 2.09, coverage_factor(19.0), 0.005);
	misses += close_miss("G.4.1", 2, "U", 2.2, 1.029466 * coverage_factor(18.99874), 0.05);
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("covariances against the examples of the GUM");
	TCase *gum = tcase_create("GUM");

	tcase_add_test(gum, thermometer);
	tcase_add_test(gum, simultaneous_resistance_and_reactance);
	tcase_add_test(gum, coverage_factors);
	suite_add_tcase(suite, gum);
	return close_run(suite);
}
