/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/words.h"

#include <string.h>

#include "base/number.h"

/* Longer words are not compared: no accepted word is that long. */
#define WORD_LENGTH 40

char *words_join(struct arena *arena, const char *const *words, size_t count)
{
	size_t length = 0;
	for (size_t i = 0; i < count; i++)
		length += strlen(words[i]) + 2;
	char *joined = arena_allocate(arena, length + 1);
	if (joined == NULL)
		return NULL;
	size_t used = 0;
	for (size_t i = 0; i < count; i++) {
		size_t size = strlen(words[i]);
		if (i > 0) {
			joined[used++] = ',';
			joined[used++] = ' ';
		}
		memcpy(joined + used, words[i], size);
		used += size;
	}
	return joined;
}

static char lower(char letter)
{
	return letter >= 'A' && letter <= 'Z' ? (char)(letter - 'A' + 'a') : letter;
}

static size_t smallest(size_t a, size_t b)
{
	return a < b ? a : b;
}

/* Number of changes that turn one word into the other (optimal string alignment distance). */
static size_t distance(const char *a, size_t a_length, const char *b, size_t b_length)
{
	size_t rows[3][WORD_LENGTH + 1];
	size_t *before = rows[0], *above = rows[1], *row = rows[2];
	for (size_t j = 0; j <= b_length; j++)
		above[j] = j;
	for (size_t i = 1; i <= a_length; i++) {
		row[0] = i;
		for (size_t j = 1; j <= b_length; j++) {
			size_t change = lower(a[i - 1]) == lower(b[j - 1]) ? 0 : 1;
			row[j] =
			    smallest(smallest(above[j] + 1, row[j - 1] + 1), above[j - 1] + change);
			if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) &&
			    lower(a[i - 2]) == lower(b[j - 1]))
				row[j] = smallest(row[j], before[j - 2] + 1);
		}
		size_t *freed = before;
		before = above;
		above = row;
		row = freed;
	}
	return above[b_length];
}

const char *words_nearest(const char *word, const char *const *words, size_t count)
{
	const char *nearest = NULL;
	size_t length = strlen(word);
	if (length == 0 || length > WORD_LENGTH)
		return NULL;
	size_t best = length / 3 + 1;
	for (size_t i = 0; i < count; i++) {
		size_t other = strlen(words[i]);
		if (other > WORD_LENGTH)
			continue;
		size_t changes = distance(word, length, words[i], other);
		if (changes < best) {
			best = changes;
			nearest = words[i];
		}
	}
	return nearest;
}

const char *words_advice(struct arena *arena, const char *word, const char *const *words,
                         size_t count, const char *otherwise)
{
	const char *nearest = words_nearest(word, words, count);
	if (nearest == NULL)
		return otherwise;
	return arena_format(arena, "write \"%s\" if that is meant", nearest);
}

const char *words_range(struct arena *arena, double lowest, double highest, bool open)
{
	char from[NUMBER_SIZE], to[NUMBER_SIZE];
	number_print(lowest, from);
	number_print(highest, to);
	return arena_format(
	    arena, open ? "a number above %s, at most %s" : "a number from %s to %s", from, to);
}
