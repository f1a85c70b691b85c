/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_PLAYERS_H
#define RESTPOINT_ESTIMATE_FIT_PLAYERS_H

#include "estimate/fit_problem.h"
#include "estimate/posterior.h"

/* What a fit tells of who played: how well each player of a file repeats a stroke, and how far all
 * strokes of theirs are off the design. Told from what is known after the fit; nothing is fitted
 * anew. Internal to src/estimate.
 *
 * Spreads: the own unknowns of tries of one shot about their mean, at the best point. A best value
 * is drawn toward the design by its prior; with v the variance that it keeps (1 where nothing was
 * learned) it is divided by 1 - v, which leaves an error of variance v / (1 - v), and that is taken
 * off the spread again. Only tries with v up to FIT_REPEAT_LEARNED count, and only
 * FIT_REPEATS_LEAST or more with three degrees of freedom. The interval is that of chi-square. */

#define FIT_REPEAT_LEARNED 0.25
#define FIT_REPEATS_LEAST 4

/* Takes the offsets from the draws. False when memory is out. */
bool fit_players_take(const struct fit_problem *problem, const struct posterior *posterior,
                      struct fit_result *result);

/* Adds the spreads of those players; x: the best point. False when memory is out. */
bool fit_players_fill(const struct fit_problem *problem, const double *x,
                      struct fit_result *result);

#endif
