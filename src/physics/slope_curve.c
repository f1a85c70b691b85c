/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/slope_curve.h"

#include <math.h>

struct slope_curve slope_curve_start(double wx, double wy, double friction, double pull_x,
                                     double pull_y)
{
	double size = sqrt(wx * wx + wy * wy), along;
	struct slope_curve curve = {.friction = friction, .axis_x = 1.0};

	curve.pull = sqrt(pull_x * pull_x + pull_y * pull_y);
	if (curve.pull > 0.0) {
		curve.axis_x = pull_x / curve.pull;
		curve.axis_y = pull_y / curve.pull;
	}
	along = curve.axis_x * wx + curve.axis_y * wy;
	curve.across = curve.axis_x * wy - curve.axis_y * wx;
	if (size == 0.0)
		return curve;
	/* plus * minus = (across / 2)^2 gives the small one of the two without cancellation. */
	if (along >= 0.0) {
		curve.plus = 0.5 * (size + along);
		curve.minus = 0.25 * curve.across * curve.across / curve.plus;
	} else {
		curve.minus = 0.5 * (size - along);
		curve.plus = 0.25 * curve.across * curve.across / curve.minus;
	}
	return curve;
}

double slope_curve_duration(const struct slope_curve *curve)
{
	return curve->plus / (curve->friction - curve->pull) +
	       curve->minus / (curve->friction + curve->pull);
}

/* The parameter y at a time; minus infinity from the duration on. The logarithm of the share of the
 * duration that is left is a convex function of y whose slope lies between 1 - k and 1 + k, so
 * Newton's method, which comes from above after its first step, needs a few steps. */
static double curve_parameter(const struct slope_curve *curve, double time)
{
	double k = curve->pull / curve->friction, slow = 1.0 - k, fast = 1.0 + k;
	double duration = slope_curve_duration(curve);
	double share = curve->plus / (curve->friction - curve->pull) / duration, rest;
	double wanted, y;

	if (!(time < duration))
		return -HUGE_VAL;
	rest = curve->minus / (curve->friction + curve->pull) / duration;
	wanted = log1p(-time / duration);
	y = wanted / (share * slow + rest * fast);
	for (int i = 0; i < 40; i++) {
		double left, step;

		if (wanted > -0.7) {
			double a = share * expm1(slow * y), b = rest * expm1(fast * y);

			left = 1.0 + a + b;
			step = (log1p(a + b) - wanted) * left /
			       (slow * (share + a) + fast * (rest + b));
		} else {
			double a = share * exp(slow * y), b = rest * exp(fast * y);

			left = a + b;
			step = (log(left) - wanted) * left / (slow * a + fast * b);
		}
		y -= step;
		if (fabs(step) <= 1e-9 * fabs(y)) /* the next would be of the order of its square */
			break;
	}
	return y;
}

/* The direction of w at y: half its angle from the axis has a tangent that falls as exp(k y). */
static void curve_direction(const struct slope_curve *curve, double y, double *along,
                            double *across)
{
	double turn = curve->pull > 0.0 ? exp(curve->pull / curve->friction * y) : 1.0;
	double size = curve->plus + curve->minus * turn * turn;

	if (curve->plus == 0.0) {
		*along = curve->minus > 0.0 ? -1.0 : 0.0;
		*across = 0.0;
		return;
	}
	*along = (curve->plus - curve->minus * turn * turn) / size;
	*across = curve->across * turn / size;
}

static void to_table(const struct slope_curve *curve, double along, double across, double out[2])
{
	out[0] = curve->axis_x * along - curve->axis_y * across;
	out[1] = curve->axis_y * along + curve->axis_x * across;
}

void slope_curve_at(const struct slope_curve *curve, double time, struct slope_point *point)
{
	double y = curve_parameter(curve, time);
	double a = curve->friction, b = curve->pull, k = b / a;
	double slow = expm1((1.0 - k) * y), fast = expm1((1.0 + k) * y), even = expm1(y);
	double along, across;

	curve_direction(curve, y, &along, &across);
	to_table(curve, along, across, point->direction);
	to_table(curve, curve->plus * (1.0 + slow) - curve->minus * (1.0 + fast),
	         curve->across * (1.0 + even), point->w);
	/* exp(2 x) - 1 = (exp(x) - 1) (exp(x) + 1), and the products for the sums of exponents. */
	along = -0.5 * (curve->plus * curve->plus * slow * (slow + 2.0) / (a - b) -
	                curve->minus * curve->minus * fast * (fast + 2.0) / (a + b));
	across = -curve->across * (curve->plus * (slow + even + slow * even) / (2.0 * a - b) +
	                           curve->minus * (fast + even + fast * even) / (2.0 * a + b));
	to_table(curve, along, across, point->way);
}

/* Derivatives. They are worked out along and across the axis, at a fixed y first. */

/* Powers of exp(y) at one y, which may be minus infinity. */
struct powers {
	double y, k, friction;
};

static double power(const struct powers *p, double x)
{
	return isinf(p->y) ? 0.0 : exp(x * p->y);
}

/* y exp(x y) */
static double power_slope(const struct powers *p, double x)
{
	return isinf(p->y) ? 0.0 : p->y * exp(x * p->y);
}

/* (exp(x1 y) - exp(x2 y)) / (x1 - x2), also where the two are close or equal. */
static double power_difference(const struct powers *p, double x1, double x2)
{
	double half = 0.5 * (x1 - x2), turn = half * p->y;

	if (isinf(p->y))
		return 0.0;
	if (turn == 0.0)
		return power_slope(p, x1);
	if (fabs(turn) > 1.0)
		return (exp(x1 * p->y) - exp(x2 * p->y)) / (x1 - x2);
	return exp(0.5 * (x1 + x2) * p->y) * sinh(turn) / half;
}

/* What part of a duration or a way an exponent x stands for: (1 - exp(x y)) / x, its derivative by
 * x, and its divided difference. */
static double share(const struct powers *p, double x)
{
	return isinf(p->y) ? 1.0 / x : -expm1(x * p->y) / x;
}

static double share_slope(const struct powers *p, double x)
{
	return (-power_slope(p, x) - share(p, x)) / x;
}

static double share_difference(const struct powers *p, double x1, double x2)
{
	return (-1.0 - 0.5 * (x1 + x2) * power_difference(p, x1, x2) +
	        0.5 * (power(p, x1) + power(p, x2))) /
	       (x1 * x2);
}

/* Derivatives of time, w and way, along and across, by one thing. */
struct column {
	double time, w[2], way[2];
};

/* By plus, minus and across. */
static struct column column_by_start(const struct slope_curve *c, const struct powers *p,
                                     double plus, double minus, double across)
{
	double k = p->k, a = p->friction;
	double even = (c->plus * share(p, 2.0 - k) + c->minus * share(p, 2.0 + k)) / a;

	return (struct column){
	    .time = (plus * share(p, 1.0 - k) + minus * share(p, 1.0 + k)) / a,
	    .w = {plus * power(p, 1.0 - k) - minus * power(p, 1.0 + k), across * power(p, 1.0)},
	    .way = {2.0 *
	                (plus * c->plus * share(p, 2.0 - 2.0 * k) -
	                 minus * c->minus * share(p, 2.0 + 2.0 * k)) /
	                a,
	            across * even +
	                c->across * (plus * share(p, 2.0 - k) + minus * share(p, 2.0 + k)) / a}};
}

/* By k, with A fixed. */
static struct column column_by_ratio(const struct slope_curve *c, const struct powers *p)
{
	double k = p->k, a = p->friction;

	return (struct column){
	    .time = (-c->plus * share_slope(p, 1.0 - k) + c->minus * share_slope(p, 1.0 + k)) / a,
	    .w = {-c->plus * power_slope(p, 1.0 - k) - c->minus * power_slope(p, 1.0 + k), 0.0},
	    .way = {-2.0 *
	                (c->plus * c->plus * share_slope(p, 2.0 - 2.0 * k) +
	                 c->minus * c->minus * share_slope(p, 2.0 + 2.0 * k)) /
	                a,
	            c->across *
	                (-c->plus * share_slope(p, 2.0 - k) + c->minus * share_slope(p, 2.0 + k)) /
	                a}};
}

/* By A, with B fixed: k falls, and time and way, which go with 1/A. */
static struct column column_by_friction(const struct slope_curve *c, const struct powers *p,
                                        const struct column *by_ratio)
{
	double k = p->k, a = p->friction, change = -k / a;
	double plus = c->plus, minus = c->minus;

	return (struct column){
	    .time = change * by_ratio->time -
	            (plus * share(p, 1.0 - k) + minus * share(p, 1.0 + k)) / (a * a),
	    .w = {change * by_ratio->w[0], 0.0},
	    .way = {change * by_ratio->way[0] - (plus * plus * share(p, 2.0 - 2.0 * k) -
	                                         minus * minus * share(p, 2.0 + 2.0 * k)) /
	                                            (a * a),
	            change * by_ratio->way[1] -
	                c->across * (plus * share(p, 2.0 - k) + minus * share(p, 2.0 + k)) /
	                    (a * a)}};
}

/* By B across its own direction, which turns the axis by 1/b. All that the turn does goes with b,
 * so the quotients are differences of powers whose exponents k apart are k A = b apart. */
static struct column column_by_turn(const struct slope_curve *c, const struct powers *p)
{
	double k = p->k, a = p->friction;
	double plus = c->plus, minus = c->minus, across = c->across;
	double low = share_difference(p, 2.0 - 2.0 * k, 2.0 - k);
	double middle = share_difference(p, 2.0 - k, 2.0 + k);
	double high = share_difference(p, 2.0 + 2.0 * k, 2.0 + k);
	double fall = power_difference(p, 1.0 - k, 1.0), rise = power_difference(p, 1.0 + k, 1.0);
	double bow = k * p->y == 0.0 || isinf(p->y) ? 0.0 : tanh(0.5 * k * p->y);

	/* exp(y) (cosh(k y) - 1) = exp(y) sinh(k y) tanh(k y / 2) */
	return (struct column){
	    .time = -across * share_difference(p, 1.0 - k, 1.0 + k) / (a * a),
	    .w = {across * power_difference(p, 1.0 + k, 1.0 - k) * bow / a,
	          -(plus * fall + minus * rise) / a},
	    .way = {across * (minus * high - plus * low) / (a * a),
	            -(plus * plus * low + minus * minus * high + 6.0 * plus * minus * middle) /
	                (a * a)}};
}

/* From a fixed y to a fixed time. */
static void fix_time(struct column *column, const double w[2], const double rate[2])
{
	for (int i = 0; i < 2; i++) {
		column->w[i] -= rate[i] * column->time;
		column->way[i] -= w[i] * column->time;
	}
}

static void put_column(const struct slope_curve *curve, const struct column *column, int by,
                       struct slope_curve_slopes *slopes)
{
	double out[2];

	to_table(curve, column->w[0], column->w[1], out);
	slopes->w[0][by] = out[0];
	slopes->w[1][by] = out[1];
	to_table(curve, column->way[0], column->way[1], out);
	slopes->way[0][by] = out[0];
	slopes->way[1][by] = out[1];
}

/* The columns along x and y of two along and across the axis. */
static struct column column_turned(const struct column pair[2], double along, double across)
{
	struct column sum = {along * pair[0].time + across * pair[1].time, {0.0}, {0.0}};

	for (int i = 0; i < 2; i++) {
		sum.w[i] = along * pair[0].w[i] + across * pair[1].w[i];
		sum.way[i] = along * pair[0].way[i] + across * pair[1].way[i];
	}
	return sum;
}

/* By w along and across, A, B along and across, at a fixed y. */
static void columns_find(const struct slope_curve *c, const struct powers *p, struct column own[5])
{
	double size = c->plus + c->minus;
	double sine = c->across / size;
	struct column by_ratio = column_by_ratio(c, p);

	own[0] = column_by_start(c, p, c->plus / size, -c->minus / size, 0.0);
	own[1] = column_by_start(c, p, 0.5 * sine, 0.5 * sine, 1.0);
	own[2] = column_by_friction(c, p, &by_ratio);
	own[3] = by_ratio;
	own[3].time /= p->friction;
	for (int i = 0; i < 2; i++) {
		own[3].w[i] /= p->friction;
		own[3].way[i] /= p->friction;
	}
	own[4] = column_by_turn(c, p);
}

static void columns_put(const struct slope_curve *c, const struct column own[5],
                        struct slope_curve_slopes *slopes, int for_duration)
{
	for (int by = 0; by < CURVE_BY; by++) {
		struct column turned = own[2];

		if (by == CURVE_BY_WX || by == CURVE_BY_PULL_X)
			turned = column_turned(&own[by], c->axis_x, -c->axis_y);
		else if (by == CURVE_BY_WY || by == CURVE_BY_PULL_Y)
			turned = column_turned(&own[by - 1], c->axis_y, c->axis_x);
		if (for_duration)
			slopes->duration[by] = turned.time;
		else
			put_column(c, &turned, by, slopes);
	}
}

void slope_curve_differentiate(const struct slope_curve *c, double time,
                               struct slope_curve_slopes *slopes)
{
	struct powers p = {-HUGE_VAL, c->pull / c->friction, c->friction};
	double direction[2], w[2], rate[2];
	struct column own[5];

	columns_find(c, &p, own);
	columns_put(c, own, slopes, 1);
	p.y = curve_parameter(c, time);
	curve_direction(c, p.y, &direction[0], &direction[1]);
	w[0] = c->plus * power(&p, 1.0 - p.k) - c->minus * power(&p, 1.0 + p.k);
	w[1] = c->across * power(&p, 1.0);
	rate[0] = -c->friction * direction[0] + c->pull;
	rate[1] = -c->friction * direction[1];
	columns_find(c, &p, own);
	for (int i = 0; i < 5; i++)
		fix_time(&own[i], w, rate);
	columns_put(c, own, slopes, 0);
}
