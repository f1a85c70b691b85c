/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/fit_words.h"

#include <math.h>

#include "report/format_value.h"
#include "report/wording.h"

#define MISFIT_DOUBTFUL 0.05 /* a lack-of-fit probability below this is worth a sentence */

/* A probability in percent as it is said. */
static void percent(double probability, char out[NUMBER_SIZE])
{
	number_print_fixed(probability * 100, probability < 0.1 ? 1 : 0, out);
}

static void add_misfit(const struct profile *profile, struct text *out)
{
	char share[NUMBER_SIZE];
	double p = profile->lack_of_fit_p;

	if (!profile->has_lack_of_fit_p || !isfinite(p))
		return;
	percent(p, share);
	if (p >= MISFIT_DOUBTFUL)
		text_print(out,
		           " The strokes scatter as their stated errors say: chance alone gives a worse "
		           "misfit in %s %% of sessions (lack-of-fit p).",
		           share);
	else if (p < 0.0005)
		text_add(out, " The strokes do not agree with each other within their stated errors: "
		              "chance alone gives such a misfit in fewer than 0.1 % of sessions "
		              "(lack-of-fit p).");
	else
		text_print(out,
		           " The strokes agree badly with each other within their stated errors: chance "
		           "alone gives a worse misfit in only %s %% of sessions (lack-of-fit p).",
		           share);
}

static void add_scaling(const struct profile *profile, struct text *out)
{
	char factor[NUMBER_SIZE];

	if (!profile->scaled) {
		text_add(out, " The errors were taken as stated, not scaled.");
		return;
	}
	format_plain(sqrt(profile->chi_square / profile->degrees_of_freedom), factor);
	text_print(out,
	           " All errors were therefore multiplied by %s, the root of chi-square / degrees of "
	           "freedom. The intervals are wider by that, and by Student's factor, as the "
	           "readings themselves tell their errors.",
	           factor);
}

void fit_words_summary(const struct profile *profile, struct text *out)
{
	char chi_square[NUMBER_SIZE], freedom[NUMBER_SIZE];

	number_print_fixed(profile->chi_square, 1, chi_square);
	number_print_fixed(profile->degrees_of_freedom, 1, freedom);
	text_print(out, "%zu stroke%s used, %zu row%s set aside. Chi-square %s for %s degrees of "
	                "freedom.",
	           profile->shots_used, profile->shots_used == 1 ? "" : "s", profile->set_aside_count,
	           profile->set_aside_count == 1 ? "" : "s", chi_square, freedom);
	add_misfit(profile, out);
	add_scaling(profile, out);
	text_print(out, " The search stopped because: %s. Seed %llu.", profile->stop_reason,
	           (unsigned long long)profile->seed);
}

/* Sliding, rolling and spin friction: the three that share the missing clock. */
static bool of_cloth(enum constant_id id)
{
	return id == SLIDING_FRICTION || id == ROLLING_RESISTANCE || id == SPIN_FRICTION;
}

void fit_words_combination(const struct fit_combination *combination, bool has_clock,
                           struct text *out)
{
	struct formatted_interval shown;

	text_print(out, "These shots give %s %s %s = ", constant_prior(combination->first)->title,
	           combination->product ? "x" : "/", constant_prior(combination->second)->title);
	if (format_interval(&combination->interval, &shown))
		text_print(out, "%s \302\261 %s (95 %% interval %s to %s), neither alone: ", shown.value,
		           shown.error, shown.low, shown.high);
	else
		text_print(out, "%s, neither alone: ", shown.value);
	if (!has_clock && of_cloth(combination->first) && of_cloth(combination->second))
		text_add(out, "time one shot.");
	else
		text_print(out, "%s.", wording_settle(combination->first));
}
