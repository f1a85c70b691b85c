/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_OMISSIONS_H
#define RESTPOINT_ESTIMATE_OMISSIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "model/constants.h"
#include "model/profile.h"

/* What the model of the fit leaves out, and what that would do to a session: a table may do each of
 * these, of an assumed size, unseen. */

enum omission {
	OMISSION_LIVELINESS_FALL,
	OMISSION_SLOPE_LONG,
	OMISSION_SLOPE_SHORT,
	OMISSION_RAIL_HEAD, /* then the others in the order of enum rail */
	OMISSION_RAIL_FOOT,
	OMISSION_RAIL_LEFT,
	OMISSION_RAIL_RIGHT,
	OMISSION_BALL_FRICTION_FALL,
	OMISSION_HOP,
	OMISSION_DRIFT,
	OMISSION_COUNT
};

struct omission_rule {
	const char *name;  /* as in JSON, e.g. "slope_long" */
	const char *brief; /* in words, e.g. "a slope along" */
	const char *words; /* what a table does then, with the assumed size: "the bed slopes ..." */
	double size;       /* assumed, in the unit of its term */
	const char *source; /* of the size */
	const char *settle; /* what would show it, an order; NULL: nothing known */
};

const struct omission_rule *omission_rule(enum omission number);

/* A shift of more standard errors than that is large: below it a 95 % interval still holds the truth
 * in 83 %. A chance below that to see it is small. */
#define OMISSION_LARGE 1.0
#define OMISSION_UNSEEN 0.5
#define OMISSION_LEVEL 0.05 /* of the lack-of-fit p that counts as seen */

/* One of them in one fit, by linear theory at its end. */
struct fit_omission {
	enum omission which;
	double
	    shift[CONSTANT_COUNT]; /* of the told constants on their fitted scales, if a table did
	                                 that: told less true */
	double noncentrality;      /* of what lack_of_fit.between then has */
	double power;              /* how likely the test of the lack of fit sees it, 0 to 1 */
	bool large
	    [CONSTANT_COUNT]; /* a shift of a constant that is told beyond OMISSION_LARGE of its
	                                 standard errors, and power below OMISSION_UNSEEN */
	bool told;            /* any of them */
};

/* A 95 % interval on the fitted scale of a constant, about its value, with those large shifts as
 * further errors: each as one standard deviation, as the size of none is known (GUM, 4.3).
 * Within the hard limits. *out is the interval as it was, and the answer false, where none of them
 * is large. */
bool omissions_widen(const struct fit_omission *omissions, size_t count, enum constant_id id,
                     const struct interval *interval, struct interval *out);

#endif
