/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_ROOTS_H
#define RESTPOINT_PHYSICS_ROOTS_H

#include <stddef.h>

/* Largest degree of the polynomials here. */
#define ROOTS_DEGREE 4

/* All real roots of c[0] + c[1] t + ... + c[degree] t^degree in [low, high], ascending, found
 * between the roots of the derivative (so none is missed and no starting value is needed) and
 * polished to the last bits. A root where the polynomial touches zero without changing its sign
 * may be left out. degree at most ROOTS_DEGREE; leading coefficients may be zero; high must be
 * finite. Returns how many were written to roots (at most degree). */
size_t roots_in_interval(const double *c, int degree, double low, double high, double *roots);

/* The first t in [0, high] at which the polynomial goes from positive to zero or below; a value
 * of zero or below at t = 0 is no crossing. Returns HUGE_VAL when there is none. */
double roots_first_fall(const double *c, int degree, double high);

#endif
