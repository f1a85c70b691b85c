/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/nearest.h"

#include <string.h>

#define WORD_LIMIT 40 /* longer words are near to nothing */

void nearest_start(struct nearest *nearest, const char *word, size_t length)
{
	nearest->word = word;
	nearest->length = length;
	nearest->best = NULL;
	nearest->distance = length / 3 < 2 ? 3 : length / 3 + 1; /* beyond what is allowed */
}

static size_t smaller(size_t a, size_t b)
{
	return a < b ? a : b;
}

/* Fewest steps from a to b (optimal string alignment); both at most WORD_LIMIT letters. */
static size_t steps(const char *a, size_t a_length, const char *b, size_t b_length)
{
	size_t table[WORD_LIMIT + 1][WORD_LIMIT + 1];

	for (size_t i = 0; i <= a_length; i++)
		table[i][0] = i;
	for (size_t j = 0; j <= b_length; j++)
		table[0][j] = j;
	for (size_t i = 1; i <= a_length; i++) {
		for (size_t j = 1; j <= b_length; j++) {
			size_t changed = table[i - 1][j - 1] + (a[i - 1] != b[j - 1]);

			table[i][j] = smaller(changed, smaller(table[i - 1][j], table[i][j - 1]) + 1);
			if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
				table[i][j] = smaller(table[i][j], table[i - 2][j - 2] + 1);
		}
	}
	return table[a_length][b_length];
}

void nearest_offer(struct nearest *nearest, const char *known)
{
	size_t length = strlen(known);
	size_t distance;

	if (nearest->length == 0 || nearest->length > WORD_LIMIT || length > WORD_LIMIT)
		return;
	distance = steps(nearest->word, nearest->length, known, length);
	if (length > nearest->length && strncmp(known, nearest->word, nearest->length) == 0)
		distance = smaller(distance, 1);
	if (distance < nearest->distance) {
		nearest->best = known;
		nearest->distance = distance;
	}
}
