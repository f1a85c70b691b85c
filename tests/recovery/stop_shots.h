/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_STOP_SHOTS_H
#define RESTPOINT_TESTS_RECOVERY_STOP_SHOTS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "estimate/fit_problem.h"

/* Sessions of one stop shot of which the tip height alone differs from stroke to stroke, and what
 * they say of the sliding friction, all other constants and habits being known: the smallest case
 * in which a stroke's own unknown bends (physics.md 6). Sliding friction is told on the
 * standardised scale of its prior; the truth is the middle, 0. Every function stops the program
 * where its surroundings fail. */

#define STOP_LOWEST (-2.0) /* sliding friction looked at, standardised */
#define STOP_HIGHEST 2.2
#define STOP_POINTS 169 /* of a curve over it */

struct stop_session {
	struct shot_design design;
	struct protocol protocol;
	struct measurement measurement;
	struct stroke_row *rows;
	struct fault_list faults;
	struct fit_input input;
	struct fit_problem problem;
};

/* Where the cue ball rests for that sliding friction and tip height (standardised), by play: the
 * same for all sessions. */
struct stop_table;

struct stop_table *stop_table_make(void);

/* The session of that number: the cue ball's rest is read once a stroke. Release with
 * stop_session_free. */
void stop_session_make(struct stop_session *session, size_t tries, uint64_t number);
void stop_session_free(struct stop_session *session);

/* Sliding friction at a place of a curve. */
double stop_point(size_t i);

/* Logarithm of the likelihood of the session, its heights integrated out by quadrature over the
 * table: the reference. */
void stop_exact(const struct stop_table *table, const struct stop_session *session,
                double curve[STOP_POINTS]);

/* Half the fall of cost, heights at their best values, negative: by stroke_case_settle. The
 * strokes keep those heights. */
double stop_best(struct stop_session *session, double sliding);

/* The marginal by stroke_mixture, made at sliding friction `at`. */
void stop_marginal(struct stop_session *session, double at, double curve[STOP_POINTS]);

#endif
