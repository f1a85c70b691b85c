/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_SET_ASIDE_H
#define RESTPOINT_ESTIMATE_SET_ASIDE_H

#include <stdbool.h>

#include "estimate/fit.h"
#include "estimate/fit_problem.h"
#include "estimate/stroke_case.h"

/* Strokes that the fit sets aside: those that nothing within the player's reach explains, by the
 * chi-square of the stroke against its number of readings. Internal to src/estimate. */

#define SET_ASIDE_SHARE 0.2 /* of the strokes, at most */

/* Marks, before the search, what is so far out that no constants of the priors explain it: it would
 * only lead the search astray. */
void set_aside_screen(struct fit_problem *problem, const char **reasons);

/* Puts into each stroke's `foretold` what it costs by what the other strokes and the priors foretell
 * of it, to first order: chi-square for a good stroke, whatever its own say in the fit. covariance:
 * of the outer unknowns where the fit has ended. */
void set_aside_foretell(struct fit_problem *problem, const double *covariance);

/* Marks the least likely stroke (and all that are all but impossible) as not used, with a reason a
 * person understands in reasons[its place]. At most a fifth of the strokes are ever set aside.
 * Returns whether any was. */
bool set_aside_worst(struct stroke_case *strokes, size_t count, struct arena *arena,
                     const char **reasons);

/* Looks again, at x, at the strokes set aside, and puts their reasons anew: with the slip of the
 * person that explains them, where one does (estimate/misreading.h). One that lies on an edge and
 * is explained by a slip counts as spoiled; else it keeps its reason.
 *   back  true: those that are likely after all, now that the others do not pull, are used again,
 *         and those that are all but impossible, and that one contact not heard explains, are used
 *         with their sounds moved
 * *returned: whether any is used again. False when memory is out. */
bool set_aside_review(struct fit_problem *problem, const double *x, bool back, struct arena *arena,
                      const char **reasons, bool *returned);

/* Lists what the person and the fit set aside in result->set_aside, in order of file and line,
 * and what it mended in result->repaired. False when memory is out. */
bool set_aside_list(const struct fit_input *inputs, size_t input_count,
                    const struct stroke_case *strokes, size_t count, const char *const *reasons,
                    struct fit_result *result);

#endif
