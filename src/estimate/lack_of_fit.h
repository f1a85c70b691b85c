/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_LACK_OF_FIT_H
#define RESTPOINT_ESTIMATE_LACK_OF_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"

/* Whether a model fits, asked of repeated tries (pure error against lack of fit; Draper & Smith,
 * Applied Regression Analysis, value from memory). Tries of one shot by one player share everything
 * that the model has but what each stroke draws anew, so whatever the model is, right or wrong,
 * they scatter about one mean. What is left of the residuals when each group of tries may have the
 * mean it likes (`within`) therefore tells the scatter, and what the model cannot do about those
 * means (`between`) tells the lack of fit.
 *
 * When the model is right and everything is linear and normal, both are chi-square with their
 * degrees of freedom and independent. Tries need not be alike: each has its own covariance, and
 * readings may be missing. */

#define LACK_OF_FIT_RESIDUALS 64 /* of one try, at most */

/* One try at the best point of the model. */
struct lack_of_fit_try {
	size_t group;          /* its number, below the number of tries */
	size_t count;          /* residuals */
	const double *reduced; /* the residuals r, reduced: L^-1 r */
	const double
	    *factor;        /* L, lower Cholesky factor of their covariance, count * count by rows;
	                          what is above the diagonal is not read */
	const size_t *slot; /* of each residual: which of the group's means is its own */
	const bool *counts; /* of each residual: false for one that can tell nothing */
};

struct lack_of_fit {
	double within, within_freedom;
	double between, between_freedom;
	double
	    probability; /* of a worse lack of fit by chance; not a number when it cannot be told */
};

/* Fewer degrees of freedom between groups than this tell nothing of the model. */
#define LACK_OF_FIT_FREEDOM 0.5

/* Splits the squares.
 *   further  squares that belong to the groups together: of unknowns that they share, over their
 *            priors
 *   taken    degrees of freedom that fitted constants took
 * STATUS_OK; STATUS_SYSTEM when memory is out; STATUS_NOT_CONVERGED, and no probability, when a factor
 * is not one. */
enum status lack_of_fit_split(const struct lack_of_fit_try *tries, size_t count, double further,
                              double taken, struct lack_of_fit *out);

/* The larger of two probabilities of a larger `between`: by chi-square, as if the errors and
 * spreads were as stated, and by F, against the scatter of the tries. A player who scatters less
 * than was stated would make F alone cry out, one who scatters more would make chi-square. When the
 * model is right a value below p is therefore no likelier than p; and where nothing was repeated it
 * is chi-square alone. */
double lack_of_fit_probability(const struct lack_of_fit *split);

/* Probability that lack_of_fit_probability is below `level` when the squares between groups have
 * that noncentrality and those within have none (estimate/lack_of_fit_power.c).
 *   freedom  only its degrees of freedom are read
 * 0 where there is no test. To 0.001. */
double lack_of_fit_power(const struct lack_of_fit *freedom, double noncentrality, double level);

/* Probability of more than x of a noncentral chi-square: the sum of (Z + delta)^2 of that many
 * standard normal Z; noncentrality: sum of delta^2. A mixture of central ones with Poisson weights
 * (Fisher 1928, value from memory). */
double lack_of_fit_noncentral_tail(double x, double freedom, double noncentrality);

#endif
