/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/profile_difference.h"

#include <math.h>

#include "advise/adjustments.h"
#include "advise/constant_draws.h"

#define NORMAL_975 1.959963984540054 /* 97.5 % point of a standard normal */

/* Of the logarithm of a constant: d log v = (1 - v) d logit v. */
static double constant_deviation(enum constant_id id, const struct estimate *estimate)
{
	double spread = constant_draws_spread(id, estimate);

	return constant_prior(id)->scale == SCALE_LOGIT ? spread * (1.0 - estimate->best.value)
	                                                : spread;
}

static double condition_deviation(const struct estimate *estimate)
{
	const struct interval *best = &estimate->best;

	if (!estimate->has_interval || estimate->state == KNOWLEDGE_HELD)
		return 0.0;
	if (best->low95 > 0.0 && best->high95 > best->low95)
		return log(best->high95 / best->low95) / (2.0 * NORMAL_975);
	return best->standard_error / best->value;
}

static bool is_known(const struct estimate *estimate)
{
	return estimate->state != KNOWLEDGE_NOT_DETERMINED && estimate->best.value > 0.0;
}

static struct profile_difference differ(const struct estimate *home, const struct estimate *here,
                                        double home_deviation, double here_deviation)
{
	struct profile_difference difference = {.home = home, .here = here};
	double deviation = hypot(home_deviation, here_deviation), ratio;

	difference.known = is_known(home) && is_known(here);
	if (!difference.known)
		return difference;
	ratio = log(here->best.value / home->best.value);
	difference.percent = 100.0 * expm1(ratio);
	difference.low95 = 100.0 * expm1(ratio - NORMAL_975 * deviation);
	difference.high95 = 100.0 * expm1(ratio + NORMAL_975 * deviation);
	if (deviation > 0.0)
		difference.sure = 0.5 * erfc(-fabs(ratio) / (deviation * M_SQRT2));
	difference.beyond_doubt = difference.sure >= ADJUSTMENTS_SURE;
	return difference;
}

struct profile_difference profile_difference_constant(const struct profile *home,
                                                      const struct profile *here,
                                                      enum constant_id id)
{
	return differ(&home->constants[id], &here->constants[id],
	              constant_deviation(id, &home->constants[id]),
	              constant_deviation(id, &here->constants[id]));
}

struct profile_difference profile_difference_condition(const struct profile *home,
                                                       const struct profile *here,
                                                       enum condition_id id)
{
	return differ(&home->conditions[id], &here->conditions[id],
	              condition_deviation(&home->conditions[id]),
	              condition_deviation(&here->conditions[id]));
}
