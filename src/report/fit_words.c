/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/fit_words.h"

#include <math.h>

#include "report/format_value.h"
#include "report/wording.h"

/* A change is one by a common factor when no logarithm moves less than this part of another. */
#define COMMON_FACTOR_LEAST 0.5
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

	if (!profile->has_lack_of_fit_p || !isfinite(p)) {
		text_add(out, " Whether the model fits these strokes was not tested.");
		return;
	}
	percent(p, share);
	if (p >= MISFIT_DOUBTFUL)
		text_print(out,
		           " The shots agree with the model as well as their tries agree with each "
		           "other: chance alone gives a worse misfit in %s %% of sessions (lack-of-fit "
		           "p).",
		           share);
	else if (p < 0.0005)
		text_add(out, " The shots do not agree with the model: their tries agree far better "
		              "with each other, and chance alone gives such a misfit in fewer than "
		              "0.1 % of sessions (lack-of-fit p).");
	else
		text_print(out,
		           " The shots agree badly with the model, beyond the scatter of their tries: "
		           "chance alone gives a worse misfit in only %s %% of sessions (lack-of-fit "
		           "p).",
		           share);
	if (p < MISFIT_DOUBTFUL)
		text_add(out, " The table may do what the model leaves out; see MODELS THAT ARE NOT "
		              "OURS in restpoint-method(7) and the options of restpoint-fit(1).");
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
	           " The strokes scatter more than their stated errors say, so all errors were "
	           "multiplied by %s, the root of chi-square / degrees of freedom. The intervals are wider by that, and by Student's factor, as the "
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

/* "sliding friction", or of a restitution what is lost; with its exponent. */
static void add_factor(enum constant_id id, double exponent, struct text *out)
{
	bool loss = constant_prior(id)->scale == SCALE_LOGIT;
	char number[NUMBER_SIZE];

	text_print(out, "%s%s%s", loss ? "(1 - " : "", constant_prior(id)->title, loss ? ")" : "");
	if (exponent == 1.0)
		return;
	format_plain(exponent, number);
	text_print(out, "^%s", number);
}

/* "A^0.6 x B / C^0.4": what is multiplied first. */
static void add_powers(const struct fit_combination *combination, struct text *out)
{
	const char *before = "";

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		if (!(combination->exponents[id] > 0.0))
			continue;
		text_add(out, before);
		add_factor((enum constant_id)id, combination->exponents[id], out);
		before = " x ";
	}
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		if (!(combination->exponents[id] < 0.0))
			continue;
		text_add(out, " / ");
		add_factor((enum constant_id)id, -combination->exponents[id], out);
	}
}

static void add_combination(const struct fit_combination *combination, struct text *out)
{
	if (combination->power) {
		add_powers(combination, out);
		return;
	}
	add_factor(combination->first, 1.0, out);
	text_add(out, combination->product ? " x " : " / ");
	add_factor(combination->second, 1.0, out);
}

/* Three parts or more: "neither" would be wrong. */
static bool has_many_parts(const struct fit_combination *combination)
{
	int parts = 0;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		parts += combination->exponents[id] != 0.0;
	return parts > 2;
}

void fit_words_combination(const struct fit_combination *combination, bool has_clock,
                           struct text *out)
{
	const char *alone = has_many_parts(combination) ? "none" : "neither";
	struct formatted_interval shown;

	text_add(out, "These shots give ");
	add_combination(combination, out);
	if (format_interval(&combination->interval, &shown))
		text_print(out, " = %s \302\261 %s (95 %% interval %s to %s), %s alone: ", shown.value,
		           shown.error, shown.low, shown.high, alone);
	else
		text_print(out, " = %s, %s alone: ", shown.value, alone);
	if (!has_clock && of_cloth(combination->first) && of_cloth(combination->second))
		text_add(out, "time one shot.");
	else
		text_print(out, "%s.", wording_settle(combination->first));
}

/* "A", "A and B", "A, B and C": those that change by that sign. */
static void add_changed(const struct fit_unknown *unknown, double sign, struct text *out)
{
	size_t count = 0, told = 0;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		count += sign * unknown->change[id] > 0.0;
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		if (!(sign * unknown->change[id] > 0.0))
			continue;
		if (told > 0)
			text_add(out, told + 1 == count ? " and " : ", ");
		text_add(out, constant_prior((enum constant_id)id)->title);
		told++;
	}
}

/* A change by one factor, of frictions, and whether all of them are of the cloth. */
static bool is_common_factor(const struct fit_unknown *unknown, bool *cloth)
{
	*cloth = true;
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double change = unknown->change[id];

		if (change == 0.0)
			continue;
		*cloth = *cloth && of_cloth((enum constant_id)id);
		if (constant_prior((enum constant_id)id)->scale != SCALE_LOG ||
		    change < COMMON_FACTOR_LEAST)
			return false;
	}
	return true;
}

void fit_words_unknown(const struct fit_unknown *unknown, bool has_clock, struct text *out)
{
	bool cloth, falls = false;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		falls = falls || unknown->change[id] < 0.0;
	if (is_common_factor(unknown, &cloth)) {
		text_add(out, "These shots tell ");
		add_changed(unknown, 1.0, out);
		text_print(out, " only up to a common factor%s.",
		           cloth && !has_clock ? ": no time was measured" : "");
		return;
	}
	text_add(out, "These shots do not tell a larger ");
	add_changed(unknown, 1.0, out);
	if (falls) {
		text_add(out, " with a smaller ");
		add_changed(unknown, -1.0, out);
	}
	text_add(out, " from the reverse.");
}
