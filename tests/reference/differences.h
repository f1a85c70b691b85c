/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_REFERENCE_DIFFERENCES_H
#define RESTPOINT_TESTS_REFERENCE_DIFFERENCES_H

#include <math.h>

/* Derivatives by central differences, extrapolated to a step of zero by Richardson's scheme: to
 * compare exact ones with. */

#define DIFFERENCES_MOST 10 /* functions at a time */
#define DIFFERENCES_ROUNDS 6

/* values receives count functions of the inputs; changed is the one that is shifted, by shift. */
typedef void differences_function(const void *context, int changed, double shift, double *values);

/* slopes[k] receives d(value k)/d(input `changed`); step: the largest shift. Of the table of
 * extrapolations the entry that differs least from its neighbours is taken (Ridders 1982, year from
 * memory). */
static inline void differences(differences_function *function, const void *context, int changed,
                               double step, int count, double *slopes)
{
	double table[DIFFERENCES_ROUNDS][DIFFERENCES_ROUNDS][DIFFERENCES_MOST];
	double smallest[DIFFERENCES_MOST];

	for (int i = 0; i < DIFFERENCES_ROUNDS; i++) {
		double above[DIFFERENCES_MOST], below[DIFFERENCES_MOST];
		double h = step / pow(1.6, i), factor = 1.0;

		function(context, changed, h, above);
		function(context, changed, -h, below);
		for (int k = 0; k < count; k++) {
			table[0][i][k] = (above[k] - below[k]) / (2.0 * h);
			if (i == 0) {
				slopes[k] = table[0][0][k];
				smallest[k] = HUGE_VAL;
			}
		}
		for (int j = 1; j <= i; j++) {
			factor *= 1.6 * 1.6;
			for (int k = 0; k < count; k++) {
				double left = table[j - 1][i][k], older = table[j - 1][i - 1][k];
				double best = (left * factor - older) / (factor - 1.0);
				double error = fmax(fabs(best - left), fabs(best - older));

				table[j][i][k] = best;
				if (error <= smallest[k]) {
					smallest[k] = error;
					slopes[k] = best;
				}
			}
		}
	}
}

#endif
