/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_VALUE_H
#define RESTPOINT_ADVISE_PLAN_VALUE_H

#include <stdbool.h>
#include <stddef.h>

#include "advise/plan_aims.h"
#include "estimate/shot_information.h"

/* What a set of strokes is worth, of candidates whose information is known. */

/* Unknowns of a session that one stroke's information is about: the constants, then the habits. */
#define PLAN_UNKNOWNS (CONSTANT_COUNT + SHARED_HABITS)
#define PLAN_FUTURES_MOST 96 /* of a search */
#define PLAN_ITEMS 40        /* different shots of a design, at most */
#define PLAN_TRIES 4         /* strokes of one shot, at most */
#define PLAN_STROKES 40      /* of a design, at most */
#define PLAN_MARGIN 0.9      /* a want is met with a margin at that share of it */

/* Of one stroke, without any prior; the aim offset is that of its shot. */
struct plan_information {
	double at[PLAN_UNKNOWNS][PLAN_UNKNOWNS];
};

/* One point that the truth may lie at. */
struct plan_future {
	double slopes[PLAN_QUANTITIES][CONSTANT_COUNT]; /* plan_quantity_slopes */
};

/* What a stroke of a candidate costs. */
struct plan_cost {
	double seconds; /* of a stroke */
	double setup;   /* besides, of the first */
	bool clock;     /* it has one */
};

struct plan_search {
	size_t count; /* candidates */
	size_t futures;
	const struct plan_information
	    *information;                 /* [candidate * futures + future], of one stroke */
	const struct plan_cost *costs;    /* of each candidate */
	const struct plan_future *future; /* of each future */
	double precision[CONSTANT_COUNT][CONSTANT_COUNT]; /* of what is known, standardised */
	bool has_clock;                                   /* before any stroke */
	double want[PLAN_QUANTITIES];                     /* 0: not wanted */
	double unknown[PLAN_QUANTITIES]; /* error before any stroke, for what waits for a clock */
	double most_seconds;             /* 0: no limit */
	size_t most_strokes;             /* 0: no limit but PLAN_STROKES */
	bool stops;                      /* once every want is met with a margin */
};

struct plan_design {
	size_t count; /* different shots */
	struct {
		size_t candidate;
		int tries;
	} items[PLAN_ITEMS];
};

/* Place of a candidate in a design; design->count where it has none. */
size_t plan_design_find(const struct plan_design *design, size_t candidate);

/* Seconds that one stroke more of a candidate takes. */
double plan_design_further(const struct plan_search *search, const struct plan_design *design,
                           size_t candidate);

size_t plan_design_strokes(const struct plan_design *design);
double plan_design_seconds(const struct plan_search *search, const struct plan_design *design);
bool plan_design_has_clock(const struct plan_search *search, const struct plan_design *design);

/* Fills errors: of every quantity the root mean square over the futures of its standard deviation,
 * with the strokes of the design. False when something is not finite. */
bool plan_search_errors(const struct plan_search *search, const struct plan_design *design,
                        double errors[PLAN_QUANTITIES]);

/* What is made small: of the wanted quantities the sum of squared excesses of error over
 * PLAN_MARGIN of what is wanted, each relative to that; where a search does not stop (nothing
 * was asked in particular, and some constants may be hopeless), the sum of the logarithms of one
 * and the excess; in either case, so that what is met pulls too, a hundredth of the logarithms
 * of error over wanted besides. */
double plan_search_loss(const struct plan_search *search, const double errors[PLAN_QUANTITIES]);

/* The loss of a design; HUGE_VAL where it has none. */
double plan_search_value(const struct plan_search *search, const struct plan_design *design);

/* Whether every want is met with the margin. */
bool plan_search_met(const struct plan_search *search, const double errors[PLAN_QUANTITIES]);

/* The value of a design with one stroke more of each candidate, into values (search->count of
 * them); HUGE_VAL where that is beyond the limits. */
void plan_search_look(const struct plan_search *search, const struct plan_design *design,
                      double *values);

#endif
