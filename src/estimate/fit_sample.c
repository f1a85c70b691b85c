/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "estimate/fit_problem.h"

/* Some strokes that stand for all. */

/* How many strokes in use of the same shot and player stand before each. False when memory is out. */
static bool find_ranks(const struct fit_problem *problem, size_t *ranks)
{
	size_t *counts = calloc(fit_problem_size(problem), sizeof *counts);

	for (size_t i = 0; counts != NULL && i < problem->stroke_count; i++) {
		const struct stroke_case *stroke = &problem->strokes[i];

		if (stroke->used && stroke->parameter[SHARED_AIM] >= 0)
			ranks[i] = counts[stroke->parameter[SHARED_AIM]]++;
	}
	free(counts);
	return counts != NULL;
}

/* How many strokes in use have that rank. */
static size_t count_rank(const struct fit_problem *problem, const size_t *ranks, size_t rank)
{
	size_t count = 0;

	for (size_t i = 0; i < problem->stroke_count; i++)
		count += problem->strokes[i].used && ranks[i] == rank;
	return count;
}

/* The first ranks whole, and of the next one strokes at even distances. Returns how many. */
static size_t choose(const struct fit_problem *problem, const size_t *ranks, size_t most,
                     size_t *chosen)
{
	size_t whole = 0, room = most, count = 0, met = 0, of_next;

	while ((of_next = count_rank(problem, ranks, whole)) > 0 && of_next <= room) {
		room -= of_next;
		whole++;
	}
	for (size_t i = 0; i < problem->stroke_count; i++) {
		bool next = ranks[i] == whole;

		if (!problem->strokes[i].used || ranks[i] > whole)
			continue;
		if (!next || (met + 1) * room / of_next > met * room / of_next)
			chosen[count++] = i;
		met += next;
	}
	return count;
}

bool fit_problem_sample(const struct fit_problem *problem, size_t most, struct fit_problem *sample,
                        size_t *chosen)
{
	size_t *ranks = calloc(problem->stroke_count + 1, sizeof *ranks), count = 0;

	*sample = *problem;
	sample->arena = NULL;
	sample->strokes = NULL;
	sample->latest = calloc(fit_problem_size(problem), sizeof *sample->latest);
	if (ranks != NULL && find_ranks(problem, ranks))
		count = choose(problem, ranks, most, chosen);
	free(ranks);
	if (count > 0)
		sample->strokes = malloc(count * sizeof *sample->strokes);
	if (sample->strokes == NULL || sample->latest == NULL) {
		fit_problem_free(sample);
		return false;
	}
	for (size_t k = 0; k < count; k++)
		sample->strokes[k] = problem->strokes[chosen[k]];
	sample->stroke_count = count;
	return true;
}
