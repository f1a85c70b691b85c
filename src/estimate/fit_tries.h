/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_TRIES_H
#define RESTPOINT_ESTIMATE_FIT_TRIES_H

#include "base/status.h"
#include "estimate/fit_problem.h"
#include "estimate/lack_of_fit.h"

/* The strokes in use, linearised at an end of the fit with their own unknowns eliminated, for what is
 * asked of the model as a whole. Internal to src/estimate. */

struct fit_try {
	const struct stroke_case *stroke;
	struct stroke_point point;
	double own[OWN_UNKNOWNS]; /* best there */
	/* With L the Cholesky factor of the residuals' covariance (own unknowns and readings):
	 * L^-1 times the residuals that even own unknowns would leave, L itself by rows, and L^-1
	 * times the slopes by the outer unknowns that the stroke feels. */
	size_t count;
	double reduced[RESIDUALS_MAX];
	double factor[RESIDUALS_MAX * RESIDUALS_MAX];
	double slopes[RESIDUALS_MAX][STROKE_OUTER];
	/* As struct lack_of_fit_try has them. Tries belong together that are of one file, shot and
	 * player with the same balls. */
	size_t group;
	size_t slot[RESIDUALS_MAX];
	bool counts[RESIDUALS_MAX];
};

struct fit_tries {
	size_t count;
	struct fit_try *items;
};

/* Makes them at the outer unknowns x, with the strokes' own ones started from stroke->own; the
 * strokes are left as they are, and must outlive *tries. STATUS_OK, STATUS_NOT_CONVERGED where a
 * stroke cannot be played there, STATUS_SYSTEM. Release with fit_tries_free after STATUS_OK. */
enum status fit_tries_make(const struct fit_problem *problem, const double *x,
                           struct fit_tries *tries);

void fit_tries_free(struct fit_tries *tries);

/* Place of a stroke's outer unknown among those of the problem; -1: it does not feel it. */
int fit_try_place(const struct fit_try *try, int outer);

/* lack_of_fit_split of the tries. */
enum status fit_tries_split(const struct fit_tries *tries, double further, double taken,
                            struct lack_of_fit *out);

#endif
