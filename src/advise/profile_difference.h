/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PROFILE_DIFFERENCE_H
#define RESTPOINT_ADVISE_PROFILE_DIFFERENCE_H

#include <stdbool.h>

#include "model/profile.h"

/* How one number differs between two profiles measured apart. */
struct profile_difference {
	const struct estimate *home, *here;
	bool known;            /* both tables were measured for it; else what follows is 0 */
	double percent;        /* here against home: 100 (here / home - 1) */
	double low95, high95;  /* its interval */
	double sure;           /* probability that the difference has that sign; 0 when neither value
	                          has an interval */
	bool beyond_doubt;     /* sure to 0.99 */
};

/* The logarithms are taken as normal and as independent, with the standard deviations that the
 * intervals of the profiles give (for a restitution, from its logit to first order). Errors of the
 * model that both fits share are not in it. */
struct profile_difference profile_difference_constant(const struct profile *home,
                                                      const struct profile *here,
                                                      enum constant_id id);
struct profile_difference profile_difference_condition(const struct profile *home,
                                                       const struct profile *here,
                                                       enum condition_id id);

#endif
