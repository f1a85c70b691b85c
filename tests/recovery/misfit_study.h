/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_MISFIT_STUDY_H
#define RESTPOINT_TESTS_MISFIT_STUDY_H

#include <stddef.h>
#include <stdint.h>

#include "misfit_case.h"

/* Sessions on tables that the model does not describe, fitted as if it did. Every omission meets
 * the same tables, players and reading errors. */

#define MISFIT_LEVEL 0.05 /* a lack-of-fit p below this is a flag */

struct misfit_constant {
	double z;        /* (mean of the draws - truth) / their sd, on the fitted scale, as told */
	double relative; /* standard error over value */
	double holds;    /* 1 when the told 95 % interval holds the truth, else 0 */
	double
	    widened;  /* the same of the interval with the errors of the model that the fit names */
	double named; /* 1 when it names one */
	double known; /* 1 when it is determined, weak or at a limit */
	double foreseen; /* bias by linear theory, in its standard errors */
};

/* What became of one session: numbers alone, which are also a line of the file of outcomes. */
struct misfit_outcome {
	double answered; /* 1 when the fit gave draws */
	double seconds;  /* of the fit, processor time */
	double set_aside, doubted;
	double chi_square, freedom, chi_square_p, scaled;
	double within, within_freedom, between, between_freedom, p;
	double noncentrality, power; /* of `between` by linear theory; of a flag then */
	struct misfit_constant constants[CONSTANT_COUNT];
};

#define MISFIT_NUMBERS (sizeof(struct misfit_outcome) / sizeof(double))

struct misfit_wish {
	const char *protocol; /* name among the shipped ones, or a path ending in .json */
	const char
	    *with; /* shots of tests/recovery/misfit_shots.json to play besides, by ","; "" */
	enum misfit_case number;
	uint64_t seed;
	size_t session;    /* the table and player of that number are the same for every omission */
	bool only_foresee; /* no fit */
};

/* Plays and fits one session. False when it could not be simulated. */
bool misfit_run(const struct misfit_wish *wish, struct misfit_outcome *outcome);

#endif
