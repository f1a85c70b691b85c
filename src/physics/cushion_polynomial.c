/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_polynomial.h"

#include <math.h>

/* Even and odd terms apart: neither has to wait for the other. */
double polynomial_value(const double *c, int degree, double t)
{
	double square = t * t, one = c[degree], other = degree > 0 ? c[degree - 1] : 0.0;
	int k = degree - 2;

	for (; k >= 1; k -= 2) {
		one = one * square + c[k];
		other = other * square + c[k - 1];
	}
	if (k == 0)
		return one * square + c[0] + other * t;
	return one * t + other;
}

/* Value and slope at once. */
static double value_and_slope(const double *c, int degree, double t, double *slope)
{
	double value = c[degree], rise = 0.0;

	for (int k = degree - 1; k >= 0; k--) {
		rise = rise * t + value;
		value = value * t + c[k];
	}
	*slope = rise;
	return value;
}

double polynomial_slope(const double *c, int degree, double t)
{
	double slope = 0.0;

	for (int k = degree; k >= 1; k--)
		slope = slope * t + k * c[k];
	return slope;
}

/* The root between low, where the polynomial is positive, and high, where it is not: Newton's
 * method, with a halving wherever that would leave the interval. */
static double bracketed_root(const double *c, int degree, double low, double high, double t)
{
	for (int round = 0; round < 200; round++) {
		double slope, value = value_and_slope(c, degree, t, &slope), next;

		if (value > 0.0)
			low = t;
		else
			high = t;
		next = slope != 0.0 ? t - value / slope : HUGE_VAL;
		if (!(next > low && next < high)) {
			/* A root at an end of the interval has its last correction rounded away. */
			if (fabs(next - t) <= 4e-16 * fabs(t))
				break;
			next = 0.5 * (low + high);
			if (next <= low || next >= high)
				break;
		} else if (fabs(next - t) <= 1e-16 * high) {
			return next;
		}
		t = next;
	}
	return t;
}

double polynomial_root(const double *c, int degree, double high, double guess)
{
	if (polynomial_value(c, degree, high) > 0.0)
		return HUGE_VAL;
	return bracketed_root(c, degree, 0.0, high, guess > 0.0 && guess < high ? guess : high);
}

int polynomial_stays_positive(const double *c, int degree, double high)
{
	/* What c[k] + t (c[k + 1] + t (...)) is at least: what stands in the brackets is least at the
	 * end if that is below zero, and at the start else. */
	double least = c[degree];

	for (int k = degree - 1; k >= 0; k--)
		least = c[k] + (least < 0.0 ? least * high : 0.0);
	return least > 0.0;
}

/* Where the slope of the polynomial, negative at low and positive at high, is zero. */
static double lowest_point(const double *c, int degree, double low, double high)
{
	for (int round = 0; round < 60; round++) {
		double middle = 0.5 * (low + high);

		if (polynomial_slope(c, degree, middle) < 0.0)
			low = middle;
		else
			high = middle;
	}
	return low;
}

double polynomial_first_fall(const double *c, int degree, double high)
{
	const int pieces = 8;
	double low = 0.0, low_slope = c[1];
	int positive = c[0] > 0.0;

	if (polynomial_stays_positive(c, degree, high))
		return HUGE_VAL;
	for (int piece = 1; piece <= pieces; piece++) {
		double end = high * piece / pieces;
		double value = polynomial_value(c, degree, end);
		double slope = polynomial_slope(c, degree, end);

		if (value > 0.0 && low_slope < 0.0 && slope > 0.0 && positive) {
			double lowest = lowest_point(c, degree, low, end);

			if (polynomial_value(c, degree, lowest) <= 0.0) {
				end = lowest;
				value = 0.0;
			}
		}
		if (value <= 0.0 && positive)
			return bracketed_root(c, degree, low, end, end);
		positive = value > 0.0;
		low = end;
		low_slope = slope;
	}
	return HUGE_VAL;
}

double polynomial_end_guess(double speed, double rate, double left)
{
	double fall = sqrt(fmax(0.0, speed * speed - 2.0 * rate * left)) - speed;

	return fall > 0.0 ? 2.0 * left / fall : HUGE_VAL;
}
