/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_ARENA_H
#define RESTPOINT_BASE_ARENA_H

#include <stddef.h>

/* Memory that belongs to one document (a protocol, a measurement, a profile, a list of faults)
 * and is given back as a whole. Everything allocated from an arena lives until arena_free. */
struct arena;

/* A new, empty arena; NULL when memory is out. */
struct arena *arena_create(void);

/* Gives back the arena and everything in it; NULL is allowed. */
void arena_free(struct arena *arena);

/* size bytes set to zero, aligned for any type; NULL when memory is out. size 0 is allowed. */
void *arena_allocate(struct arena *arena, size_t size);

/* A copy of length bytes of text with a terminating zero; NULL when memory is out. */
char *arena_copy(struct arena *arena, const char *text, size_t length);

/* A formatted string (printf rules); NULL when memory is out. */
char *arena_format(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Makes room for one element more in an array that lives in the arena: returns the array itself
 * or a larger copy, and updates *capacity. NULL when memory is out; the old array stays valid.
 * count: elements in use; size: bytes of one element. Start with array NULL and *capacity 0. */
void *arena_grow(struct arena *arena, void *array, size_t count, size_t *capacity, size_t size);

#endif
