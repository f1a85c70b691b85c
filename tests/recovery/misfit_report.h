/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_MISFIT_REPORT_H
#define RESTPOINT_TESTS_MISFIT_REPORT_H

#include <stddef.h>
#include <stdio.h>

#include "misfit_study.h"

/* What became of the sessions of one omission and protocol. */
struct misfit_cell {
	const char *protocol;
	enum misfit_case number;
	size_t sessions, answered; /* with draws; what follows is of these */
	size_t tested, flagged;    /* with a lack-of-fit p; of these, below MISFIT_LEVEL */
	size_t scaled, aside;      /* sessions; strokes */
	double between, between_freedom, within, within_freedom; /* means of the tested */
	double noncentrality;   /* found: mean excess of `between` over that without omission */
	double foreseen, power; /* noncentrality and power by linear theory, means */
	double bias[CONSTANT_COUNT], worst[CONSTANT_COUNT]; /* of z: mean, the largest by size */
	double square[CONSTANT_COUNT];                      /* mean of its square */
	double linear[CONSTANT_COUNT];                      /* mean foreseen bias */
	double known[CONSTANT_COUNT], held[CONSTANT_COUNT]; /* shares */
	double named[CONSTANT_COUNT], widened[CONSTANT_COUNT];
};

/* Sums up. none: that of the same protocol without omission, or NULL. */
void misfit_cell_fill(const struct misfit_outcome *outcomes, size_t count,
                      const struct misfit_cell *none, struct misfit_cell *cell);

/* The share of x in n with its 95 % interval (Clopper & Pearson 1934). */
void misfit_share(size_t x, size_t n, double *low, double *high);

void misfit_report_legend(FILE *stream);
void misfit_report_print(const struct misfit_cell *cell, FILE *stream);

/* A line for each bound that a cell fails; returns how many: without omission at most 5 % flagged,
 * and where the computed power is at least 0.9 at least 80 % flagged; a constant that is told, off by
 * more than 2 standard errors in the mean at a power below 0.5, must be named by the fit in half of
 * the sessions and its interval with that hold the truth in 80 %. Each share unless chance explains
 * it in 1 of 100 runs. */
size_t misfit_verdict(const struct misfit_cell *cell, FILE *stream);

#endif
