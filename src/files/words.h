/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_WORDS_H
#define RESTPOINT_FILES_WORDS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* Lists of accepted words for messages. */

/* "first, second, third"; NULL when memory is out. */
char *words_join(struct arena *arena, const char *const *words, size_t count);

/* The word that a mistyped one most likely means: the closest by insertions, deletions, exchanged
 * letters and swapped neighbours, capitals ignored; NULL when none is close (more than one such
 * change in three letters). */
const char *words_nearest(const char *word, const char *const *words, size_t count);

/* What to do about a word that is not in the list: write the nearest one, or, when none is close,
 * what `otherwise` says. NULL when memory is out. */
const char *words_advice(struct arena *arena, const char *word, const char *const *words,
                         size_t count, const char *otherwise);

/* "a number from 0 to 8", or "a number above 0, at most 8" when `lowest` itself is refused. */
const char *words_range(struct arena *arena, double lowest, double highest, bool open);

#endif
