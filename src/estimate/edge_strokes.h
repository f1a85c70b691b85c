/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_EDGE_STROKES_H
#define RESTPOINT_ESTIMATE_EDGE_STROKES_H

#include "estimate/fit_problem.h"

/* Strokes that lie on the edge between two courses of the balls: a kiss or a rail that is just met
 * or just missed. Their cost has no derivative, so that a fit can neither use nor leave them: it
 * ends without progress. Internal to src/estimate. */

/* Chi-square left to gain at which an end on an edge is accepted: half a standard error. */
#define EDGE_ACCEPTED 0.25

/* The same for each outer unknown where there are many strokes (FIT_LARGE), of which some always lie
 * on edges: one standard error, which the rounds of draws that follow go by themselves
 * (estimate/posterior.h). */
#define EDGE_ACCEPTED_OF_MANY 1.0

/* Which of them holds. */
double edge_strokes_accepted(const struct fit_problem *problem);

/* After a fit that made no progress at x (with that covariance): sets aside the stroke whose cost
 * at half a standard error along the step that the fit would like, either way, is more than its
 * linearisation promises by most, with a reason in reasons[its place]; at most a fifth of all.
 * None is set aside where that step promises little (edge_strokes_accepted): the end is then good enough.
 *   promise  receives the chi-square that the step promises, HUGE_VAL when it cannot be told
 * Returns how many; 0 also when memory is out or the point cannot be evaluated. */
size_t edge_strokes_set_aside(struct fit_problem *problem, const double *x,
                              const double *covariance, const char **reasons,
                              double *promise);

#endif
