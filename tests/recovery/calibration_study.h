/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CALIBRATION_STUDY_H
#define RESTPOINT_TESTS_RECOVERY_CALIBRATION_STUDY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/random.h"
#include "base/status.h"
#include "estimate/fit.h"
#include "model/constants.h"
#include "model/profile.h"

/* Sessions on tables drawn from the whole prior, played by players with habits of their own, and
 * fitted. When the posterior is right, the truth lies anywhere among its draws with equal
 * probability, averaged over the prior (Cook, Gelman & Rubin, J. Comput. Graph. Stat. 15, 675
 * (2006); Talts et al., arXiv:1804.06788 (2018); both values from memory). */

/* What became of one constant of one session. Without draws z, place and relative are not numbers
 * and no interval holds the truth. */
struct calibration_constant {
	double truth; /* the value put in */
	double z;     /* (mean of the draws - truth) / their sd, on the fitted scale */
	double place; /* of the truth among the draws, in [0, 1]: (draws below + u) / (draws + 1),
	                    u uniform; itself uniform when the posterior is right */
	double relative; /* standard error over value: sd of the draws times the scale's slope */
	double learned;  /* of the prior's sd, as the fit says */
	bool told95;     /* the 95 % interval that the program tells holds the truth; the narrowed
	                    one where the constant is not determined */
	enum knowledge state;
};

/* What became of one session: plain bytes. */
struct calibration_outcome {
	enum status status;
	bool answered;  /* the fit gave draws */
	size_t strokes; /* played */
	size_t set_aside;
	double seconds; /* of the fit, processor time */
	double p;       /* chi-square tail probability; not a number when unanswered */
	double excess;  /* see calibration_false_end; not a number when not known */
	struct calibration_constant constants[CONSTANT_COUNT];
};

/* What a study asks for. Session number n is the same whatever the first and the count. */
struct calibration_wish {
	const char *protocol; /* its name among the shipped ones */
	size_t first, sessions;
	uint64_t seed;
	const char *keep; /* file of outcomes (calibration_keep.h) to go on with; NULL: none */
};

/* Simulates and fits what wish->keep does not hold, in as many processes as there are processors;
 * outcomes holds wish->sessions. False when a process failed, memory is out, or wish->keep cannot
 * be read or written. */
bool calibration_run(const struct calibration_wish *wish, struct calibration_outcome *outcomes);

/* Fills one constant from a fit.
 *   truth   value put in, within the hard limits
 *   stream  for the place among the draws */
void calibration_fill(const struct fit_result *fit, enum constant_id id, double truth,
                      struct random_stream *stream, struct calibration_constant *out);

/* Whether the central interval of that probability, 0 to 1, of the draws holds the truth. */
bool calibration_holds(const struct calibration_constant *constant, double probability);

#endif
