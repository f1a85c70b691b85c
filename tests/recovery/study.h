/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_STUDY_H
#define RESTPOINT_TESTS_RECOVERY_STUDY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "model/constants.h"
#include "model/profile.h"

/* Sessions of known constants, fitted: whether the fit finds again what was put in. */

/* What became of one session. */
struct study_outcome {
	char label[48]; /* its name, or its seed */
	enum status status;
	double seconds; /* of the fit, processor time */
	double p;       /* chi-square tail probability */
	bool scaled;
	size_t set_aside;
	double truth[CONSTANT_COUNT];
	double low95[CONSTANT_COUNT], high95[CONSTANT_COUNT];
	double relative[CONSTANT_COUNT]; /* standard error over value */
	double z[CONSTANT_COUNT];        /* (mode - truth) / sd on the fitted scale */
	enum knowledge state[CONSTANT_COUNT];
};

/* What a study asks for. */
struct study_wish {
	const char *protocol; /* its name among the shipped ones */
	int times;            /* multiplies the tries of every shot */
	size_t repeats;       /* sessions */
	uint64_t seed;
};

/* Simulates and fits; outcomes holds wish->repeats of them. Constants as design_draw_constants
 * draws them. False when a session could not be simulated or a process failed. */
bool study_simulated(const struct study_wish *wish, struct study_outcome *outcomes);

/* Fits the four noisy example sessions of tests/reference/sessions. */
#define STUDY_EXAMPLES 4
bool study_examples(struct study_outcome outcomes[STUDY_EXAMPLES]);

/* Whether a constant's interval holds the truth; the narrowed interval where it is not
 * determined. */
bool study_covers(const struct study_outcome *outcome, enum constant_id id);

/* Pairs of session and constant whose interval does not hold the truth. */
size_t study_misses(const struct study_outcome *outcomes, size_t count);

/* Prints coverage, median standard errors, mean z, and the sessions that missed. */
void study_print(const char *title, const struct study_outcome *outcomes, size_t count);

/* Sessions whose chi-square is not believable: p outside 0.001 to 0.999. */
size_t study_unlikely(const struct study_outcome *outcomes, size_t count);

/* Sessions in which the fit did not end well. */
size_t study_failed(const struct study_outcome *outcomes, size_t count);

/* Sessions in which a cloth friction is called weak or determined. */
size_t study_cloth_claimed(const struct study_outcome *outcomes, size_t count);

#endif
