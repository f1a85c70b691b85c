/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_SLOPE_CURVE_H
#define RESTPOINT_PHYSICS_SLOPE_CURVE_H

/* The vector w(t) that obeys dw/dt = -A w/|w| + B, with A > |B|: the velocity of a ball that rolls
 * on a slope, or the slip of one that slides. It has no closed form in t, but one in a parameter y
 * that falls from 0 to minus infinity while w goes to zero. With e the direction of B, w1 and w2
 * the parts of w at the start along e and across it, b = |B|, k = b/A,
 *     plus = (|w| + w1)/2,  minus = (|w| - w1)/2:
 *     w along e  = plus exp((1-k)y) - minus exp((1+k)y)
 *     w across e = w2 exp(y)
 *     |w|        = plus exp((1-k)y) + minus exp((1+k)y)
 *     t          = plus (1 - exp((1-k)y))/(A-b) + minus (1 - exp((1+k)y))/(A+b)
 * and the integral of w over t is a sum of such powers too, since dt = -(|w|/A) dy. Nothing in it
 * is singular for straight ways or for B = 0. Derived from the hodograph: with f the angle from B
 * to w, d(ln|w|)/df = (A - b cos f)/(b sin f), so tan(f/2) = tan(f0/2) exp(k y). Checked by power
 * series in the tests. */

struct slope_curve {
	double friction;            /* A [m/s^2] */
	double pull;                /* b [m/s^2] */
	double axis_x, axis_y;      /* e; (1, 0) where b is 0 */
	double plus, minus, across; /* across is w2 [m/s] */
};

/* w, its direction, and the integral of w since the start, in the axes of the table. */
struct slope_point {
	double w[2], direction[2], way[2];
};

/* The curve that starts at w; friction must be greater than the length of the pull. */
struct slope_curve slope_curve_start(double wx, double wy, double friction, double pull_x,
                                     double pull_y);

/* Seconds until w is zero: (A |w| + B w)/(A^2 - B^2). */
double slope_curve_duration(const struct slope_curve *curve);

/* The curve after `time` seconds, 0 <= time; w is exactly zero from the duration on. Relative
 * accuracy of some 1e-15, also of the change for small times. */
void slope_curve_at(const struct slope_curve *curve, double time, struct slope_point *point);

/* What derivatives are by: w at the start, A, B. */
enum { CURVE_BY_WX, CURVE_BY_WY, CURVE_BY_FRICTION, CURVE_BY_PULL_X, CURVE_BY_PULL_Y, CURVE_BY };

struct slope_curve_slopes {
	double w[2][CURVE_BY];   /* at a fixed time; at the duration those just before it */
	double way[2][CURVE_BY]; /* likewise */
	double duration[CURVE_BY];
};

/* Exact derivatives after `time` seconds. B may be zero. */
void slope_curve_differentiate(const struct slope_curve *curve, double time,
                               struct slope_curve_slopes *slopes);

#endif
