/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_SET_ASIDE_H
#define RESTPOINT_ESTIMATE_SET_ASIDE_H

#include <stdbool.h>

#include "estimate/fit.h"
#include "estimate/stroke_case.h"

/* Strokes that the fit sets aside: those that nothing within the player's reach explains, by the
 * chi-square of the stroke against its number of readings. Internal to src/estimate. */

/* Marks the least likely stroke (and all that are all but impossible) as not used, with a reason a
 * person understands in reasons[its place]. At most a fifth of the strokes are ever set aside.
 * Returns whether any was. */
bool set_aside_worst(struct stroke_case *strokes, size_t count, struct arena *arena,
                     const char **reasons);

/* Lists what the person and the fit set aside in result->set_aside, in order of file and line.
 * False when memory is out. */
bool set_aside_list(const struct fit_input *inputs, size_t input_count,
                    const struct stroke_case *strokes, size_t count, const char *const *reasons,
                    struct fit_result *result);

#endif
