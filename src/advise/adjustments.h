/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_ADJUSTMENTS_H
#define RESTPOINT_ADVISE_ADJUSTMENTS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "advise/adjustment.h"
#include "advise/prediction.h"
#include "base/status.h"
#include "model/profile.h"

/* What must change in a stroke between two tables: each adjustment of adjustment_list is solved on
 * pairs of tables drawn from two profiles. The answer is the stroke that gives HERE what the home
 * stroke gives at HOME. */

#define ADJUSTMENTS_DRAWS 400
#define ADJUSTMENTS_DRAWS_LEAST 100
#define ADJUSTMENTS_DRAWS_MOST 10000
#define ADJUSTMENTS_SURE 0.99 /* a probability beyond doubt */

struct adjustments_task {
	const struct profile *home, *here;
	double end_mass_ratio; /* of the cue, as in adjustment_table */
	double elevation_deg;
	size_t draws;          /* pairs of tables, ADJUSTMENTS_DRAWS_LEAST at least */
	uint64_t seed;
	unsigned threads; /* base/parallel.h; the result is the same for any number */
};

/* Medians with 95 % intervals, of the pairs in which both tables have a stroke that does it. */
struct adjustment_change {
	const struct adjustment *adjustment;
	size_t draws, solved;
	size_t home_without, here_without; /* pairs in which no stroke does it there */
	bool possible;               /* half of the pairs and more were solved; else nothing follows */
	struct predicted_span home, here; /* what is varied, in its unit */
	struct predicted_span change; /* here less home; of a speed, percent of home */
	struct predicted_span miss;   /* here with the home stroke: what comes out beyond what is wanted,
	                                 in the unit of what is kept */
	size_t miss_seen;             /* pairs in which it comes out at all */
	double sure;                  /* share of the pairs whose change has the sign of the median */
	bool settled;                 /* the whole interval is below adjustment_threshold */
	bool worth_making;            /* the median is not below adjustment_threshold */
	bool beyond_doubt;            /* sure to ADJUSTMENTS_SURE */
	unsigned rests_on;            /* constants, bit 1 << id, that are not determined in a profile and
	                                 move the change by half the threshold with 1 sd of theirs */
};

/* Whether two profiles say the same of one table, as two copies of one file do: then each draw is
 * one table, not two. */
bool adjustments_same(const struct profile *home, const struct profile *here);

/*   changes  room for adjustment_list's count
 * STATUS_OK or STATUS_SYSTEM. */
enum status adjustments_find(const struct adjustments_task *task,
                             struct adjustment_change *changes);

#endif
