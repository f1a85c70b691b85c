/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_LINES_H
#define RESTPOINT_ESTIMATE_FIT_LINES_H

#include "estimate/fit_problem.h"

/* Whether a plane is all there is to the bed: what a fit with slopes leaves of each line, that is of
 * each shot, whose strokes run the same way. Internal to src/estimate. */

/* A line that strays with a smaller probability than this over the number of lines tells that the
 * bed is no plane (Bonferroni). */
#define FIT_LINE_UNLIKELY 0.01

/* Fills result->lines and result->no_plane from the strokes at the point accepted last; x: that
 * point. Misfits are relative to that of all strokes where result->scaled is set. False when memory
 * is out. */
bool fit_lines_fill(const struct fit_problem *problem, const double *x, struct fit_result *result);

#endif
