/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_MISREADING_H
#define RESTPOINT_ESTIMATE_MISREADING_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "estimate/stroke_case.h"

/* Which single slip of the person who read and typed would make an unlikely stroke a likely one:
 * so that who reads why a row was set aside knows where to look. */

enum misreading_kind {
	MISREADING_NONE,    /* no slip explains it, or several do, or a stroke gone wild does as well */
	MISREADING_VALUE,   /* a reading one unit off, or ten times or a tenth of what was meant */
	MISREADING_SWAPPED, /* long and short of a rest */
	MISREADING_RAIL,    /* another rail named */
	MISREADING_UNHEARD  /* a contact was not heard: its sound and the later ones belong one on */
};

struct misreading {
	enum misreading_kind kind;
	size_t reading; /* its place among the stroke's readings; of a swap the long one, of an unheard
	                   contact the first sound that belongs to a later one */
	double value;   /* meant, of MISREADING_VALUE [diamonds or s] */
	enum rail rail; /* meant, of MISREADING_RAIL */
	double away;    /* what was read less what the stroke does where only the slip is mended
	                   [diamonds or s] */
	double cost;    /* of the mended stroke */
};

/* A mended stroke is accepted when its chi-square probability is above this. */
#define MISREADING_LIKELY 0.01

/* Finds the slip of a stroke at a point. Every slip is tried on a copy, its own unknowns searched
 * anew; accepted when the mended stroke is likely, and clearly likelier than with any other slip and
 * than a stroke with four times the scatter that was read well. Some tenths of a second.
 *   seed  the stroke's own stream under it is used
 * False when memory is out. */
bool misreading_find(const struct stroke_case *stroke, const struct stroke_point *point,
                     uint64_t seed, struct misreading *misreading);

/* Changes the readings (and what of the scene hangs on them) to those meant. */
void misreading_mend(struct stroke_case *stroke, const struct misreading *misreading);

/* The slip as a question, e.g. "cue_rest_long reads 6.00: stopped 1.02 diamonds from where this
 * stroke can stop: is long 5.00 meant?". NULL for MISREADING_NONE or when memory is out. */
const char *misreading_ask(const struct stroke_case *stroke, const struct misreading *misreading,
                           struct arena *arena);

#endif
