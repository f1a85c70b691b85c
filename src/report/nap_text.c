/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/nap_text.h"

#include <math.h>

#include "base/number.h"
#include "report/paragraph.h"
#include "report/profile_text.h"

/* Which way it runs, as far as that is beyond doubt. */
static const char *way(const struct estimate *nap)
{
	if (!(nap->best.low95 <= 0.0))
		return "the nap runs to the foot: balls roll on to the foot and stop short to the head";
	if (!(nap->best.high95 >= 0.0))
		return "the nap runs to the head: balls roll on to the head and stop short to the foot";
	return "the interval holds 0: there may be no nap that matters";
}

void nap_text_print(const struct profile *profile, struct text *out)
{
	const struct estimate *nap = &profile->nap, *rolling = &profile->constants[ROLLING_RESISTANCE];
	bool both = nap->state != KNOWLEDGE_NOT_DETERMINED &&
	            rolling->state != KNOWLEDGE_NOT_DETERMINED;
	char foot[NUMBER_SIZE], head[NUMBER_SIZE];

	text_add(out, "\nNap of the cloth\n");
	profile_text_estimate("push on a rolling ball", nap, "", way(nap),
	                      "roll slow balls along the table both ways, and read where they stop or "
	                      "time them",
	                      out);
	if (!both)
		return;
	number_print_fixed(rolling->best.value - nap->best.value, 4, foot);
	number_print_fixed(rolling->best.value + nap->best.value, 4, head);
	paragraph_print(out, 2, 4,
	                "rolling resistance is %s toward the foot, %s toward the head and that of "
	                "the constants across",
	                foot, head);
}
