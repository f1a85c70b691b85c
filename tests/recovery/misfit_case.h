/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_MISFIT_CASE_H
#define RESTPOINT_TESTS_MISFIT_CASE_H

#include <stdint.h>

#include "base/status.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* Sessions on tables that do what the fit's model leaves out. */

enum misfit_case {
	MISFIT_NONE, /* the model is right */
	MISFIT_SLIDE_FALL,
	MISFIT_LIVELINESS_FALL,
	MISFIT_SLOPE,
	MISFIT_DEAD_RAIL,
	MISFIT_BALL_FRICTION_FALL,
	MISFIT_HOP,
	MISFIT_DRIFT,
	MISFIT_READING_ERRORS,
	MISFIT_STEADY, /* no omission: a player who scatters half as much as the protocol says */
	MISFIT_CASES
};

struct misfit_rule {
	const char *name;
	const char *what;   /* with its size */
	const char *source; /* of the size */
};

const struct misfit_rule *misfit_rule(enum misfit_case number);

/* True and *number when that is the name of a case. */
bool misfit_case_from_name(const char *name, enum misfit_case *number);

/* Plays a session of a protocol with that omission. All cases draw the same unknowns and reading
 * errors under one seed, so that sessions differ by the omission alone. A constant that changes has
 * the value of `truth` at 1 m/s (slip, or approach), at the three sound rails, or midway through the
 * session. Settings say what the person believes: the usual reading errors. STATUS_OK or
 * STATUS_SYSTEM; release with measurement_free. */
enum status misfit_simulate(const struct protocol *protocol, enum misfit_case number,
                            const struct constants *truth, uint64_t seed,
                            struct measurement *measurement);

#endif
