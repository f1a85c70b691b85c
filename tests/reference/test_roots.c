/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include <float.h>

#include "base/random.h"
#include "physics/roots.h"

/* Roots of polynomials made from roots that are known, and first falls against a fine scan; the
 * contract is that of roots.h. */

#define CASES 20000

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static double value_at(const double *c, int degree, double t)
{
	double power = 1.0, value = 0.0;

	for (int i = 0; i <= degree; i++) {
		value += c[i] * power;
		power *= t;
	}
	return value;
}

/* How far rounding of the coefficients may move a simple root: a few units in the last place of
 * the largest term over the slope. */
static double root_error(const double *c, int degree, double t)
{
	double terms = 0.0, slope = 0.0, power = 1.0;

	for (int i = 0; i <= degree; i++) {
		terms += fabs(c[i] * power * t);
		if (i > 0)
			slope += i * c[i] * power;
		if (i > 0)
			power *= t;
	}
	terms += fabs(c[0]);
	return 64.0 * DBL_EPSILON * (terms / fabs(slope) + fabs(t) + DBL_MIN);
}

/* Multiplies c, of that degree, by (t - root). */
static void multiply_root(double *c, int degree, double root)
{
	c[degree + 1] = c[degree];
	for (int i = degree; i > 0; i--)
		c[i] = c[i - 1] - root * c[i];
	c[0] *= -root;
}

static void sort_roots(double *roots, int count)
{
	for (int i = 1; i < count; i++)
		for (int j = i; j > 0 && roots[j - 1] > roots[j]; j--) {
			double swap = roots[j];

			roots[j] = roots[j - 1];
			roots[j - 1] = swap;
		}
}

/* A polynomial with `count` real roots, at least `gap` apart, in ascending order, filled up to its
 * degree with a pair of complex ones where there is room. */
static int make_polynomial(struct random_stream *random, int count, int degree, double gap,
                           double *c, double *roots)
{
	int real = 0;

	c[0] = copysign(between(random, 0.05, 12.0), between(random, -1.0, 1.0));
	while (real < count) {
		double candidate = real > 0 && random_uniform(random) < 0.3
		                       ? roots[real - 1] + gap * between(random, 1.0, 3.0)
		                       : between(random, -6.0, 6.0);
		int apart = 1;

		for (int i = 0; i < real; i++)
			apart = apart && fabs(candidate - roots[i]) >= gap;
		if (apart) {
			multiply_root(c, real, candidate);
			roots[real++] = candidate;
		}
	}
	sort_roots(roots, count);
	while (degree - real >= 2) { /* (t - a)^2 + b^2 */
		double a = between(random, -5.0, 5.0), b = between(random, 0.2, 4.0), old[5] = {0};

		for (int i = 0; i <= real; i++)
			old[i] = c[i];
		for (int i = 0; i <= real + 2; i++)
			c[i] = (i <= real ? old[i] * (a * a + b * b) : 0.0) -
			       (i >= 1 && i - 1 <= real ? old[i - 1] * 2.0 * a : 0.0) +
			       (i >= 2 ? old[i - 2] : 0.0);
		real += 2;
	}
	return real;
}

static int check_known(int i, const double *c, int degree, int real_degree, const double *known,
                       int count, double low, double high)
{
	double found[ROOTS_DEGREE];
	size_t got = roots_in_interval(c, degree, low, high, found), wanted = 0;
	int misses = 0;

	for (int k = 0; k < count; k++) {
		if (known[k] < low || known[k] > high)
			continue;
		if (wanted < got)
			misses += close_miss("known", i, "root", known[k], found[wanted],
			                     root_error(c, real_degree, known[k]));
		wanted++;
	}
	return misses + close_miss("known", i, "number of roots", (double)wanted, (double)got, 0.0);
}

/* Degrees 1 to 4 with none to all of their roots real; in every third case the coefficients above
 * the true degree are zero and the degree is called 4. */
START_TEST(known_roots_are_found)
{
	struct random_stream random = random_start(5051, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		int degree = 1 + i % 4, count = degree - 2 * ((i / 4) % (degree / 2 + 1));
		double c[ROOTS_DEGREE + 1] = {0.0}, roots[ROOTS_DEGREE] = {0.0};
		double low = between(&random, -7.0, 2.0), high = low + between(&random, 0.5, 12.0);
		int real_degree = make_polynomial(&random, count, degree, 1e-2, c, roots);

		misses += check_known(i, c, i % 3 == 0 ? ROOTS_DEGREE : degree, real_degree, roots,
		                      count, low, high);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Roots a millionth apart: still two of them, each to the accuracy that its slope allows. */
START_TEST(close_roots_are_told_apart)
{
	struct random_stream random = random_start(5051, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		double c[ROOTS_DEGREE + 1] = {0.0}, roots[ROOTS_DEGREE], found[ROOTS_DEGREE];
		double middle = between(&random, 0.3, 3.0), gap = between(&random, 1e-6, 1e-4);
		double other = between(&random, -5.0, -1.0), far = between(&random, 4.0, 9.0);
		int degree = 2 + i % 3;
		size_t got;

		c[0] = between(&random, 0.3, 4.0);
		multiply_root(c, 0, roots[0] = middle);
		multiply_root(c, 1, roots[1] = middle + gap);
		if (degree > 2)
			multiply_root(c, 2, other);
		if (degree > 3)
			multiply_root(c, 3, far);
		got = roots_in_interval(c, degree, 0.0, 3.9, found);
		misses += close_miss("close", i, "number of roots", 2.0, (double)got, 0.0);
		for (int k = 0; k < 2 && got == 2; k++)
			misses += close_miss("close", i, "root", roots[k], found[k],
			                     root_error(c, degree, roots[k]));
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Any coefficients: every change of sign on a fine grid holds a root, and every root reported is
 * one, in order and inside. */
START_TEST(no_change_of_sign_is_missed)
{
	struct random_stream random = random_start(5051, 3);
	int misses = 0;

	for (int i = 0; i < CASES / 10; i++) {
		double c[ROOTS_DEGREE + 1], found[ROOTS_DEGREE];
		double high = between(&random, 0.5, 5.0), step = high / 2000.0;
		int degree = 1 + i % 4;
		size_t got, next = 0;

		for (int k = 0; k <= degree; k++)
			c[k] = between(&random, -3.0, 3.0) * (k == 0 ? 0.5 : 1.0);
		got = roots_in_interval(c, degree, 0.0, high, found);
		for (size_t k = 0; k < got; k++)
			misses += close_miss("scan", i, "value at a root", 0.0,
			                     value_at(c, degree, found[k]),
			                     1e-12 * pow(1.0 + high, 4.0)) +
			          close_false("scan", i, "inside and in order",
			                      found[k] >= (k > 0 ? found[k - 1] : 0.0) &&
			                          found[k] <= high);
		for (int k = 0; k < 2000; k++) {
			double left = value_at(c, degree, k * step), right;

			right = value_at(c, degree, (k + 1) * step);
			while (next < got && found[next] < k * step)
				next++;
			if (left * right < 0.0)
				misses += close_false("scan", i, "a root where the sign changes",
				                      next < got && found[next] <= (k + 1) * step);
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The first step of a fine scan at whose end a polynomial has gone from above zero to zero or
 * below; -1 when there is none. */
static int scanned_fall(const double *c, int degree, double step, int steps)
{
	for (int k = 0; k < steps; k++)
		if (value_at(c, degree, k * step) > 0.0 &&
		    value_at(c, degree, (k + 1) * step) <= 0.0)
			return k;
	return -1;
}

START_TEST(first_falls_agree_with_a_scan)
{
	struct random_stream random = random_start(5051, 4);
	int misses = 0, falls = 0;

	for (int i = 0; i < CASES / 10; i++) {
		double c[ROOTS_DEGREE + 1], high = between(&random, 0.5, 5.0), step = high / 2000.0;
		int degree = 1 + i % 4, scanned;
		double fall;

		for (int k = 0; k <= degree; k++)
			c[k] = between(&random, -3.0, 3.0);
		if (i % 5 == 0)
			c[0] = 0.0; /* starts in contact */
		if (i % 7 == 0)
			c[degree] = 0.0;
		fall = roots_first_fall(c, degree, high);
		scanned = scanned_fall(c, degree, step, 2000);
		falls += scanned >= 0;
		if (scanned < 0) {
			misses +=
			    close_false("fall", i, "none, or a dip between two steps",
			                fall == HUGE_VAL || value_at(c, degree, fall) > -1e-5);
			continue;
		}
		/* A dip between two earlier steps is a fall that the scan does not see. */
		misses +=
		    close_false("fall", i, "not after the scan's", fall <= (scanned + 1) * step) +
		    close_false("fall", i, "not long before the scan's",
		                fall >= scanned * step ||
		                    fabs(value_at(c, degree, fall + step)) < 1e-4) +
		    close_false("fall", i, "inside", fall > 0.0 && fall <= high) +
		    close_miss("fall", i, "value", 0.0, value_at(c, degree, fall),
		               1e-12 * pow(1.0 + high, 4.0)) +
		    close_false("fall", i, "from above",
		                value_at(c, degree, fall - 1e-7 * (1.0 + fall)) > -1e-12);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(falls, CASES / 100);
}
END_TEST

/* roots.h, word by word; each polynomial has small whole roots. */
START_TEST(first_fall_keeps_its_promises)
{
	static const struct {
		const char *claim;
		int degree;
		double c[5], high, fall;
	} rows[] = {
	    {"falls at 2", 1, {2, -1}, 5, 2},
	    {"not within high", 1, {2, -1}, 1.9, HUGE_VAL},
	    {"at high itself", 1, {2, -1}, 2, 2},
	    {"rising only", 1, {-2, 1}, 5, HUGE_VAL},
	    {"below from the start", 1, {-2, -1}, 5, HUGE_VAL},
	    {"zero at the start, then below", 1, {0, -1}, 5, HUGE_VAL},
	    {"zero at the start, then above and back at 3", 2, {0, 3, -1}, 5, 3},
	    {"below, above from 1, back at 4", 2, {-4, 5, -1}, 5, 4},
	    {"the first of two: 1, not 3 where it rises", 2, {3, -4, 1}, 5, 1},
	    {"falls at 1, rises at 2, falls at 3", 3, {6, -11, 6, -1}, 5, 1},
	    {"zero at the start, rises, falls at 2", 3, {0, 2, 1, -1}, 5, 2},
	    {"four roots, 1 to 4, from above", 4, {24, -50, 35, -10, 1}, 5, 1},
	    {"four roots, 1 to 4, from below", 4, {-24, 50, -35, 10, -1}, 5, 2},
	    {"called of degree 4, is of 1", 4, {2, -1, 0, 0, 0}, 5, 2},
	    {"called of degree 4, is of 2", 4, {-4, 5, -1, 0, 0}, 5, 4},
	    {"called of degree 3, is constant", 3, {2, 0, 0, 0}, 5, HUGE_VAL},
	    {"all zero", 4, {0, 0, 0, 0, 0}, 5, HUGE_VAL},
	    {"always above", 4, {1, 0, 1, 0, 1}, 5, HUGE_VAL},
	    {"nothing to look at", 2, {3, -4, 1}, 0, HUGE_VAL},
	};
	int misses = 0;

	for (int i = 0; i < (int)(sizeof rows / sizeof *rows); i++) {
		double fall = roots_first_fall(rows[i].c, rows[i].degree, rows[i].high);

		if (isinf(rows[i].fall))
			misses += close_false("promise", i, rows[i].claim, fall == HUGE_VAL);
		else
			misses +=
			    close_miss("promise", i, rows[i].claim, rows[i].fall, fall, 1e-14);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A polynomial that comes down to zero and turns there, (t - r)^2 (t + q), has reached zero: if the
 * touch is seen at all, it is seen where it is. */
START_TEST(touching_zero_is_told_in_its_place)
{
	struct random_stream random = random_start(5051, 5);
	int misses = 0;

	for (int i = 0; i < CASES / 10; i++) {
		double c[ROOTS_DEGREE + 1] = {1.0}, r = between(&random, 0.2, 3.0), fall;

		multiply_root(c, 0, r);
		multiply_root(c, 1, r);
		multiply_root(c, 2, -between(&random, 0.1, 2.0));
		fall = roots_first_fall(c, 3, 4.0);
		if (fall != HUGE_VAL)
			misses += close_miss("touch", i, "place", r, fall, 1e-6);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("roots of polynomials");
	TCase *tests = tcase_create("roots");

	tcase_add_test(tests, known_roots_are_found);
	tcase_add_test(tests, close_roots_are_told_apart);
	tcase_add_test(tests, no_change_of_sign_is_missed);
	tcase_add_test(tests, first_falls_agree_with_a_scan);
	tcase_add_test(tests, first_fall_keeps_its_promises);
	tcase_add_test(tests, touching_zero_is_told_in_its_place);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
