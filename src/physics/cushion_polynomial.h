/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_POLYNOMIAL_H
#define RESTPOINT_PHYSICS_CUSHION_POLYNOMIAL_H

/* Polynomials c[0] + c[1] t + ... + c[degree] t^degree of the degrees that power series are cut
 * off at, and the events of a cushion impact as their roots. Internal to src/physics. */

/* Value and slope of a polynomial of a given degree at t. */
double polynomial_value(const double *c, int degree, double t);
double polynomial_slope(const double *c, int degree, double t);

/* First t in (0, high] at which a polynomial that is positive just after zero comes down to zero;
 * HUGE_VAL when there is none. A dip below zero is not overlooked. */
double polynomial_first_fall(const double *c, int degree, double high);

/* Whether no t in [0, high] can bring the polynomial to zero. */
int polynomial_stays_positive(const double *c, int degree, double high);

/* The t in [0, high] at which a polynomial that falls from c[0] >= 0 all the way is zero, starting
 * the search at guess; HUGE_VAL when it is positive at high. */
double polynomial_root(const double *c, int degree, double high, double guess);

/* The t > 0 at which speed t + rate t^2 / 2 is -left, for speed <= 0, rate < 0 and left >= 0, where
 * restitution ends if nothing turns; HUGE_VAL when there is none or it is zero. */
double polynomial_end_guess(double speed, double rate, double left);

#endif
