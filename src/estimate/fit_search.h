/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_SEARCH_H
#define RESTPOINT_ESTIMATE_FIT_SEARCH_H

#include "base/status.h"
#include "estimate/fit_end.h"
#include "estimate/fit_problem.h"

/* The search for the best end of a fit. The cost has many: a stroke that takes another course on
 * another table may be explained by a wrong stroke on a wrong table, and the iteration stays there.
 * Ends are compared by what is left of their probability with all unknowns integrated out about
 * them, not by their best value (physics.md 6). Internal to src/estimate. */

/* Minus twice the logarithm of the Laplace approximation of the marginal likelihood times the
 * prior at x, up to a constant: the robust loss of each stroke in use plus the logarithm of the
 * determinant of the covariance that its own unknowns give its readings, plus the squares of x. The
 * strokes' own unknowns, from which they settle, receive their best values at x. HUGE_VAL where a
 * stroke cannot be played. */
double fit_marginal(struct fit_problem *problem, const double *x);

/* How much probability an end has, with the outer unknowns integrated out about it as well: minus
 * twice the logarithm, fit_marginal plus the logarithm of the determinant of their precision there.
 * A narrow end may be higher than a broad one and hold less. As fit_marginal. */
double fit_evidence(struct fit_problem *problem, const double *x);

/* From end->x and the strokes' own unknowns to the end nearby, every stroke searched anew there.
 * *marginal: fit_marginal at the end. STATUS_OK (also when stopped) or STATUS_SYSTEM. */
enum status fit_search_polish(struct fit_problem *problem, struct fit_end *end, double *marginal);

/* From end->x and the strokes' own unknowns to the best of the ends about there: hops away a few
 * standard errors and falls again until that has not helped for a while. As
 * fit_search_polish. */
enum status fit_search_near(struct fit_problem *problem, struct fit_end *end);

/* Searches the whole prior from starts drawn by problem->seed; leaves the strokes' own unknowns and
 * *end at the best end. STATUS_OK (also when stopped: then at the best so far) or STATUS_SYSTEM. */
enum status fit_search(struct fit_problem *problem, struct fit_end *end);

#endif
