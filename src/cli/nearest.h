/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_NEAREST_H
#define RESTPOINT_CLI_NEAREST_H

#include <stddef.h>

/* Which known word is nearest to one that is not known: the one reached by the fewest letters
 * added, left out, changed or swapped with their neighbour, if that is at most a third of the
 * word's letters (at least 2 steps are allowed); or one that the word begins. */
struct nearest {
	const char *word;
	size_t length;
	const char *best; /* NULL while none is near */
	size_t distance;
};

/* Starts with the length bytes of a word. */
void nearest_start(struct nearest *nearest, const char *word, size_t length);

/* Offers a known word, which must outlive *nearest. */
void nearest_offer(struct nearest *nearest, const char *known);

#endif
