/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_FAULT_H
#define RESTPOINT_BASE_FAULT_H

#include <stddef.h>

#include "base/arena.h"
#include "base/status.h"
#include "base/text.h"

/* One thing that is wrong with an input, with its place. A string that does not apply is NULL, a
 * number that does not apply is 0. */
struct fault {
	enum status status;
	const char *file;     /* path as the person gave it */
	size_t line;          /* physical line, from 1 */
	size_t column;        /* JSON: character in the line; CSV: cell in the row; from 1 */
	const char *shot;     /* key of the shot concerned */
	const char *what;     /* the quantity, key, column or setting */
	const char *found;    /* what stands there */
	const char *accepted; /* what is accepted there */
	const char *next;     /* what to do now, an imperative sentence without a full stop */
};

/* The faults of one piece of work, in the order found. */
struct fault_list {
	struct arena *arena;
	struct fault *items;
	size_t count;
	size_t capacity;
	int memory_out; /* not 0: a fault could not be kept */
};

/* Starts an empty list whose strings live in its own arena. STATUS_OK or STATUS_SYSTEM. */
enum status fault_list_create(struct fault_list *list);

/* Gives the list back; safe on a list set to zero. */
void fault_list_free(struct fault_list *list);

/* Adds a copy of the fault: all its strings are copied into the list's arena. */
void fault_list_add(struct fault_list *list, const struct fault *fault);

/* Sorts by line, then column, keeping the order of equals. Where faults of several files stand in
 * the list, each run of faults of one file is sorted for itself. Without memory for it the order
 * stays and memory_out is set. */
void fault_list_sort(struct fault_list *list);

/* The sentence for one fault, without a line end:
 *   FILE:LINE:COLUMN: shot KEY: WHAT: found FOUND; accepted: ACCEPTED; NEXT.
 * Parts that do not apply are left out with their punctuation. found is printed as given: the
 * caller quotes it where it is the person's text (double quotes). */
void fault_format(const struct fault *fault, struct text *out);

#endif
