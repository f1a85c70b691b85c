/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/roots.h"

#include <math.h>
#include <stdbool.h>

static double evaluate(const double *c, int degree, double t)
{
	double value = c[degree];

	for (int i = degree - 1; i >= 0; i--)
		value = value * t + c[i];
	return value;
}

static int differentiate(const double *c, int degree, double *derivative)
{
	for (int i = 1; i <= degree; i++)
		derivative[i - 1] = i * c[i];
	return degree - 1;
}

/* The root between low and high, where the polynomial has different signs: Newton's step while it
 * stays inside and shrinks the bracket well, halving otherwise. */
static double bracketed_root(const double *c, const double *derivative, int degree, double low,
                             double high, bool rising)
{
	double t = 0.5 * (low + high);

	for (int i = 0; i < 200; i++) {
		double value = evaluate(c, degree, t);
		double slope = evaluate(derivative, degree - 1, t);
		double next;

		if (value == 0.0)
			return t;
		if ((value < 0.0) == rising)
			low = t;
		else
			high = t;
		next = slope != 0.0 ? t - value / slope : low - 1.0;
		if (!(next > low && next < high))
			next = 0.5 * (low + high);
		if (next == t || next <= low || next >= high)
			return t;
		t = next;
	}
	return t;
}

static size_t roots_linear(const double *c, double low, double high, double *roots)
{
	double t;

	if (c[1] == 0.0)
		return 0;
	t = -c[0] / c[1];
	if (!(t >= low && t <= high))
		return 0;
	roots[0] = t;
	return 1;
}

static size_t roots_quadratic(const double *c, double low, double high, double *roots)
{
	double discriminant = c[1] * c[1] - 4.0 * c[2] * c[0];
	double q, first, second;
	size_t count = 0;

	if (c[2] == 0.0)
		return roots_linear(c, low, high, roots);
	if (!(discriminant >= 0.0))
		return 0;
	q = -0.5 * (c[1] + copysign(sqrt(discriminant), c[1]));
	first = q / c[2];
	second = q != 0.0 ? c[0] / q : first;
	if (first > second) {
		double swap = first;
		first = second;
		second = swap;
	}
	if (first >= low && first <= high)
		roots[count++] = first;
	if (second >= low && second <= high && second != first)
		roots[count++] = second;
	return count;
}

size_t roots_in_interval(const double *c, int degree, double low, double high, double *roots)
{
	double derivative[ROOTS_DEGREE + 1] = {0};
	double bends[ROOTS_DEGREE + 1];
	size_t bend_count, count = 0;
	double left = low, left_value;

	if (degree <= 1)
		return degree == 1 ? roots_linear(c, low, high, roots) : 0;
	if (degree == 2)
		return roots_quadratic(c, low, high, roots);
	differentiate(c, degree, derivative);
	bend_count = roots_in_interval(derivative, degree - 1, low, high, bends);
	bends[bend_count] = high;
	left_value = evaluate(c, degree, low);
	for (size_t i = 0; i <= bend_count; i++) {
		double right = bends[i], right_value = evaluate(c, degree, right);

		if (left_value == 0.0 && (count == 0 || roots[count - 1] < left))
			roots[count++] = left;
		else if ((left_value < 0.0 && right_value > 0.0) ||
		         (left_value > 0.0 && right_value < 0.0))
			roots[count++] = bracketed_root(c, derivative, degree, left, right,
			                                right_value > 0.0);
		left = right;
		left_value = right_value;
	}
	if (left_value == 0.0 && count < (size_t)degree && (count == 0 || roots[count - 1] < left))
		roots[count++] = left;
	return count;
}

double roots_first_fall(const double *c, int degree, double high)
{
	double derivative[ROOTS_DEGREE + 1] = {0};
	double bends[ROOTS_DEGREE + 1];
	size_t bend_count;
	double left = 0.0, left_value = c[0];
	int slope_degree = differentiate(c, degree, derivative);

	bend_count = roots_in_interval(derivative, slope_degree, 0.0, high, bends);
	bends[bend_count] = high;
	for (size_t i = 0; i <= bend_count; i++) {
		double right = bends[i], right_value = evaluate(c, degree, right);

		if (left_value > 0.0 && right_value <= 0.0)
			return bracketed_root(c, derivative, degree, left, right, false);
		left = right;
		left_value = right_value;
	}
	return HUGE_VAL;
}
