/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/assess_correlation.h"

#include <math.h>

static bool is_known(enum knowledge state)
{
	return state == KNOWLEDGE_DETERMINED || state == KNOWLEDGE_WEAK ||
	       state == KNOWLEDGE_AT_LIMIT;
}

/* What the correlation is of: a constant, or a grip by its label. */
struct correlated {
	int constant;                /* CONSTANT_COUNT: a grip */
	const struct fit_grip *grip;
};

static double drawn_value(const struct fit_result *fit, const struct correlated *of, size_t draw)
{
	if (of->constant < CONSTANT_COUNT)
		return fit->draws[draw][of->constant];
	return fit->extra_draws[draw * fit->extra_count + of->grip->column];
}

/* Of two that are not both constants: from the draws. 0 where all draws of one are the same, as at a
 * limit. */
static double drawn_correlation(const struct fit_result *fit, const struct correlated *a,
                                const struct correlated *b)
{
	double count = (double)fit->draw_count, mean[2] = {0.0}, aa = 0.0, bb = 0.0, ab = 0.0;

	for (size_t k = 0; k < fit->draw_count; k++) {
		mean[0] += drawn_value(fit, a, k) / count;
		mean[1] += drawn_value(fit, b, k) / count;
	}
	for (size_t k = 0; k < fit->draw_count; k++) {
		double x = drawn_value(fit, a, k) - mean[0], y = drawn_value(fit, b, k) - mean[1];

		aa += x * x;
		bb += y * y;
		ab += x * y;
	}
	return aa > 0.0 && bb > 0.0 ? ab / sqrt(aa * bb) : 0.0;
}

static double correlation(const struct fit_result *fit, const struct correlated *a,
                          const struct correlated *b)
{
	if (a->constant == CONSTANT_COUNT || b->constant == CONSTANT_COUNT)
		return drawn_correlation(fit, a, b);
	return fit->covariance[a->constant][b->constant] /
	       sqrt(fit->covariance[a->constant][a->constant] *
	            fit->covariance[b->constant][b->constant]);
}

bool assess_correlation(const struct fit_result *fit, struct profile *profile)
{
	size_t most = CONSTANT_COUNT + fit->grip_count, count = 0;
	struct correlated *known = arena_allocate(profile->arena, most * sizeof *known);

	if (known == NULL)
		return false;
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (is_known(fit->constants[id].state))
			known[count++] = (struct correlated){id, NULL};
	for (size_t i = 0; i < fit->grip_count && fit->draw_count > 0; i++)
		if (is_known(fit->grips[i].grip.state))
			known[count++] = (struct correlated){CONSTANT_COUNT, &fit->grips[i]};
	profile->correlation_order =
	    arena_allocate(profile->arena, (count + 1) * sizeof *profile->correlation_order);
	profile->correlation =
	    arena_allocate(profile->arena, (count * count + 1) * sizeof *profile->correlation);
	if (profile->correlation_order == NULL || profile->correlation == NULL)
		return false;
	profile->correlation_count = count;
	for (size_t i = 0; i < count; i++) {
		profile->correlation_order[i] =
		    known[i].grip != NULL
		        ? arena_format(profile->arena, "grip:%s", known[i].grip->label)
		        : constant_prior((enum constant_id)known[i].constant)->name;
		if (profile->correlation_order[i] == NULL)
			return false;
		for (size_t k = 0; k < count; k++)
			profile->correlation[i * count + k] =
			    i == k ? 1.0 : correlation(fit, &known[i], &known[k]);
	}
	return true;
}
