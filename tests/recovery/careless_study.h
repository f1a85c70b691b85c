/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CARELESS_STUDY_H
#define RESTPOINT_TESTS_RECOVERY_CARELESS_STUDY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "careless_spoil.h"

/* Sessions of a careless person: one stroke in ten is spoiled, the session is fitted. */

#define CARELESS_STROKES 80 /* strokes of one session at most */

/* What became of one stroke. */
struct careless_stroke {
	unsigned char kind; /* enum careless_kind */
	bool read;          /* it holds a reading */
	bool beyond;        /* beyond the 99.9 % region of the true model */
	float likelihood;   /* chi-square probability there */
	bool aside, doubted, repaired;
	bool asks;          /* its reason asks whether something else is meant */
};

/* What became of one session: plain bytes. */
struct careless_outcome {
	size_t number; /* of the session */
	enum status status;
	double seconds; /* of the fit, processor time */
	size_t count;
	struct careless_stroke strokes[CARELESS_STROKES];
	bool holds[CONSTANT_COUNT]; /* the told interval holds the truth */
};

struct careless_wish {
	const char *protocol; /* its name among the shipped ones */
	size_t first, sessions;
	uint64_t seed;
	double share; /* of strokes that are spoiled */
	bool tell;    /* prints every stroke set aside, and every one that was missed */
};

/* Simulates, spoils and fits; outcomes holds wish->sessions. False when a process failed. */
bool careless_run(const struct careless_wish *wish, struct careless_outcome *outcomes);

#endif
