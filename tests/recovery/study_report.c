/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* What a study found, counted and printed. */

bool study_covers(const struct study_outcome *outcome, enum constant_id id)
{
	return outcome->truth[id] >= outcome->low95[id] &&
	       outcome->truth[id] <= outcome->high95[id];
}

size_t study_misses(const struct study_outcome *outcomes, size_t count)
{
	size_t misses = 0;

	for (size_t i = 0; i < count; i++)
		for (int id = 0; id < CONSTANT_COUNT; id++)
			misses += !study_covers(&outcomes[i], (enum constant_id)id);
	return misses;
}

size_t study_unlikely(const struct study_outcome *outcomes, size_t count)
{
	size_t unlikely = 0;

	for (size_t i = 0; i < count; i++)
		unlikely += !(outcomes[i].p >= 0.001 && outcomes[i].p <= 0.999);
	return unlikely;
}

size_t study_failed(const struct study_outcome *outcomes, size_t count)
{
	size_t failed = 0;

	for (size_t i = 0; i < count; i++)
		failed +=
		    outcomes[i].status != STATUS_OK && outcomes[i].status != STATUS_UNDETERMINED;
	return failed;
}

size_t study_cloth_claimed(const struct study_outcome *outcomes, size_t count)
{
	static const enum constant_id cloth[] = {SLIDING_FRICTION, ROLLING_RESISTANCE,
	                                         SPIN_FRICTION};
	size_t claimed = 0;

	for (size_t i = 0; i < count; i++) {
		bool any = false;

		for (int k = 0; k < 3; k++)
			any = any || outcomes[i].state[cloth[k]] == KNOWLEDGE_WEAK ||
			      outcomes[i].state[cloth[k]] == KNOWLEDGE_DETERMINED;
		claimed += any;
	}
	return claimed;
}

static int compare_doubles(const void *a, const void *b)
{
	const double *x = a, *y = b;

	return *x < *y ? -1 : *x > *y;
}

static double median(double *values, size_t count)
{
	qsort(values, count, sizeof *values, compare_doubles);
	return count % 2 == 1 ? values[count / 2]
	                      : 0.5 * (values[count / 2 - 1] + values[count / 2]);
}

static void print_constant(const struct study_outcome *outcomes, size_t count, enum constant_id id)
{
	double *relative = calloc(count + 1, sizeof *relative);
	double sum = 0.0, squares = 0.0;
	size_t covered = 0, determined = 0;

	if (relative == NULL)
		return;
	for (size_t i = 0; i < count; i++) {
		relative[i] = outcomes[i].relative[id];
		covered += study_covers(&outcomes[i], id);
		determined += outcomes[i].state[id] == KNOWLEDGE_DETERMINED;
		sum += outcomes[i].z[id];
		squares += outcomes[i].z[id] * outcomes[i].z[id];
	}
	printf("  %-22s covered %2zu of %zu, determined %2zu, median error %6.2f %%, "
	       "z mean %+.2f rms %.2f\n",
	       constant_prior(id)->name, covered, count, determined,
	       100.0 * median(relative, count), sum / (double)count, sqrt(squares / (double)count));
	free(relative);
}

static void print_session(const struct study_outcome *outcome)
{
	bool bad = outcome->status != STATUS_OK || outcome->p < 0.001 || outcome->p > 0.999 ||
	           study_misses(outcome, 1) > 0;

	if (!bad)
		return;
	printf("  %s: %s, p %.4f%s, %zu set aside, %.1f s;", outcome->label,
	       status_name(outcome->status), outcome->p, outcome->scaled ? " scaled" : "",
	       outcome->set_aside, outcome->seconds);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (!study_covers(outcome, (enum constant_id)id))
			printf(" %s %.5g not in %.5g to %.5g (z %+.2f)",
			       constant_prior((enum constant_id)id)->name, outcome->truth[id],
			       outcome->low95[id], outcome->high95[id], outcome->z[id]);
	printf("\n");
}

void study_print(const char *title, const struct study_outcome *outcomes, size_t count)
{
	double seconds = 0.0, longest = 0.0;

	for (size_t i = 0; i < count; i++) {
		seconds += outcomes[i].seconds;
		longest = fmax(longest, outcomes[i].seconds);
	}
	printf("%s: %zu sessions, %zu of %zu intervals hold the truth, %zu unlikely chi-squares, "
	       "%zu fits failed; %.1f s a fit, %.1f s the longest\n",
	       title, count, CONSTANT_COUNT * count - study_misses(outcomes, count),
	       CONSTANT_COUNT * count, study_unlikely(outcomes, count),
	       study_failed(outcomes, count), seconds / (double)count, longest);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		print_constant(outcomes, count, (enum constant_id)id);
	for (size_t i = 0; i < count; i++)
		print_session(&outcomes[i]);
	fflush(stdout);
}
