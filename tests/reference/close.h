/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_REFERENCE_CLOSE_H
#define RESTPOINT_TESTS_REFERENCE_CLOSE_H

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Comparison of numbers with published or derived ones. A test adds up its misses and asserts at
 * the end that there is none, so that one run shows every row that disagrees. */

#define CLOSE_PI 3.14159265358979323846

static inline double close_radians(double degrees)
{
	return degrees * (CLOSE_PI / 180.0);
}

static inline double close_degrees(double radians)
{
	return radians * (180.0 / CLOSE_PI);
}

/* 1 for a miss, with a line on standard error that says what missed and by how much, else 0.
 *   table, row  the case, as the source counts it
 *   tolerance   absolute; a value that is not a number misses */
static inline int close_miss(const char *table, int row, const char *quantity, double wanted,
                             double got, double tolerance)
{
	if (fabs(got - wanted) <= tolerance)
		return 0;
	fprintf(stderr, "%s, row %d: %s: wanted %.10g, got %.10g, off by %.3g, tolerance %.3g\n",
	        table, row, quantity, wanted, got, got - wanted, tolerance);
	return 1;
}

/* 1 for a condition that does not hold, with a line on standard error, else 0. */
static inline int close_false(const char *table, int row, const char *claim, int holds)
{
	if (holds)
		return 0;
	fprintf(stderr, "%s, row %d: does not hold: %s\n", table, row, claim);
	return 1;
}

/* Runs a suite whose cases are already added and gives it back. 0 when all tests passed, else 1. */
static inline int close_run(Suite *suite)
{
	SRunner *runner = srunner_create(suite);
	int failed;

	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#endif
