/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_GUIDE_GOAL_H
#define RESTPOINT_ADVISE_GUIDE_GOAL_H

#include <stdbool.h>

#include "estimate/fit.h"

/* How well a session is to know the constants, and whether it does. */
struct guide_goal {
	bool stated; /* false: every constant, as well as a determined one is known */
	double wanted[CONSTANT_COUNT]; /* relative standard errors; 0: not asked for */
};

/* Reads CONSTANT=PERCENT, "sliding_friction=5%" or "sliding friction=5", above 0 to 100, into the
 * goal. False when it is something else, with static words for what is accepted in *accepted. */
bool guide_goal_read(const char *text, struct guide_goal *goal, const char **accepted);

/* Whether a constant is among those asked for. */
bool guide_goal_wants(const struct guide_goal *goal, enum constant_id id);

/* Standard error of a constant relative to its value, of what a fit knows of it (of the narrowed
 * numbers where it is not determined); negative where that is not told. */
double guide_goal_error(const struct estimate *estimate);

/* Whether a constant is known as well as is wanted. */
bool guide_goal_is_met(const struct guide_goal *goal, const struct fit_result *result,
                       enum constant_id id);

/* Whether all are. */
bool guide_goal_is_reached(const struct guide_goal *goal, const struct fit_result *result);

#endif
