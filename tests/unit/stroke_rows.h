/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_STROKE_ROWS_H
#define RESTPOINT_TESTS_STROKE_ROWS_H

#include <stdint.h>

#include "base/fault.h"
#include "estimate/fit_problem.h"

/* A fit problem of strokes played at the middle of the priors by a player without habits: then all
 * outer unknowns of the truth are 0. Every function stops the test program where its surroundings
 * fail. */

struct stroke_rows {
	struct measurement measurement; /* rows: one for each try */
	struct fit_input input;
	struct fault_list faults;
	struct fit_problem problem;
};

/* Plays every try of the protocol; reads what its shots measure.
 *   errors  of reading; NULL: the defaults
 *   noise   false: own unknowns zero and readings exact */
void stroke_rows_play(struct stroke_rows *rows, const struct protocol *protocol,
                      const struct reading_errors *errors, uint64_t seed, bool noise);

/* Builds the problem, after which a row no longer counts. */
void stroke_rows_build(struct stroke_rows *rows);

void stroke_rows_free(struct stroke_rows *rows);

/* The stroke of that shot and try. */
struct stroke_case *stroke_rows_find(struct stroke_rows *rows, const char *shot, int try_number);

#endif
