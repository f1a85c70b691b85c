/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_PUROMYCIN_H
#define RESTPOINT_TESTS_PUROMYCIN_H

#include <math.h>
#include <stddef.h>

/* Puromycin, treated: initial velocity V c/(K + c) of an enzyme against concentration c, a curved
 * problem of two unknowns; data, fit and 95 % profile intervals as published by Bates & Watts,
 * Nonlinear Regression Analysis and Its Applications (1988). With flat priors, and the standard
 * deviation integrated out with the prior 1/sigma, the density of V and K is RSS^(-n/2). */

#define PUROMYCIN_COUNT 12
#define PUROMYCIN_V 212.683743
#define PUROMYCIN_V_ERROR 6.947155
#define PUROMYCIN_K 0.0641212814
#define PUROMYCIN_K_ERROR 0.00828094949
#define PUROMYCIN_CORRELATION 0.765084
#define PUROMYCIN_V_LOWER 197.3019
#define PUROMYCIN_V_UPPER 229.2891
#define PUROMYCIN_K_LOWER 0.0469203
#define PUROMYCIN_K_UPPER 0.0861569

static const double puromycin_concentrations[PUROMYCIN_COUNT] = {
    0.02, 0.02, 0.06, 0.06, 0.11, 0.11, 0.22, 0.22, 0.56, 0.56, 1.10, 1.10};
static const double puromycin_velocities[PUROMYCIN_COUNT] = {76,  47,  97,  107, 123, 139,
                                                             159, 152, 191, 201, 207, 200};

/* For struct chain_target; x is V, K. */
static inline double puromycin_log_density(void *context, const double *x, double *gradient)
{
	double squares = 0.0, by_v = 0.0, by_k = 0.0;

	(void)context;
	if (!(x[0] > 0.0 && x[1] > 0.0))
		return -HUGE_VAL;
	for (size_t i = 0; i < PUROMYCIN_COUNT; i++) {
		double c = puromycin_concentrations[i], share = c / (x[1] + c);
		double off = puromycin_velocities[i] - x[0] * share;

		squares += off * off;
		by_v -= 2.0 * off * share;
		by_k += 2.0 * off * x[0] * share / (x[1] + c);
	}
	gradient[0] = -0.5 * PUROMYCIN_COUNT * by_v / squares;
	gradient[1] = -0.5 * PUROMYCIN_COUNT * by_k / squares;
	return -0.5 * PUROMYCIN_COUNT * log(squares);
}

/* Inverse of the published covariance, 2 * 2. */
static inline void puromycin_metric(double metric[4])
{
	double r = PUROMYCIN_CORRELATION, rest = 1.0 - r * r;

	metric[0] = 1.0 / (PUROMYCIN_V_ERROR * PUROMYCIN_V_ERROR * rest);
	metric[3] = 1.0 / (PUROMYCIN_K_ERROR * PUROMYCIN_K_ERROR * rest);
	metric[1] = metric[2] = -r / (PUROMYCIN_V_ERROR * PUROMYCIN_K_ERROR * rest);
}

#endif
