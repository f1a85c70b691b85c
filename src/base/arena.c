/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/arena.h"

#include <stdalign.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Bytes of an ordinary block; a request that is larger gets a block of its own. */
#define BLOCK_SIZE ((size_t)8192)

struct block {
	struct block *next;
	size_t size, used; /* bytes of content */
	alignas(max_align_t) unsigned char content[];
};

struct arena {
	struct block *blocks; /* the first is the one that is being filled */
};

struct arena *arena_create(void)
{
	return calloc(1, sizeof(struct arena));
}

void arena_free(struct arena *arena)
{
	struct block *next;

	if (arena == NULL)
		return;
	for (struct block *block = arena->blocks; block != NULL; block = next) {
		next = block->next;
		free(block);
	}
	free(arena);
}

/* Puts a new block in the chain: as the first when it will have room left, else behind the first,
 * so that the room left there is not lost. */
static struct block *add_block(struct arena *arena, size_t needed)
{
	size_t size = needed > BLOCK_SIZE ? needed : BLOCK_SIZE;
	struct block *block;

	/* No object may be larger than this; allocators differ in how they refuse it. */
	if (size > PTRDIFF_MAX - sizeof *block)
		return NULL;
	block = calloc(1, sizeof *block + size);
	if (block == NULL)
		return NULL;
	block->size = size;
	if (arena->blocks != NULL && needed >= BLOCK_SIZE) {
		block->next = arena->blocks->next;
		arena->blocks->next = block;
	} else {
		block->next = arena->blocks;
		arena->blocks = block;
	}
	return block;
}

void *arena_allocate(struct arena *arena, size_t size)
{
	const size_t unit = alignof(max_align_t);
	struct block *block = arena->blocks;
	size_t rounded;
	void *result;

	if (size > SIZE_MAX - unit)
		return NULL;
	/* An empty request takes one unit too, so that every result is a place of its own. */
	rounded = size == 0 ? unit : (size + unit - 1) / unit * unit;
	if (block == NULL || block->size - block->used < rounded)
		block = add_block(arena, rounded);
	if (block == NULL)
		return NULL;
	result = block->content + block->used;
	block->used += rounded;
	return result;
}

char *arena_copy(struct arena *arena, const char *text, size_t length)
{
	char *copy;

	if (length == SIZE_MAX)
		return NULL;
	copy = arena_allocate(arena, length + 1);
	if (copy != NULL && length > 0)
		memcpy(copy, text, length);
	return copy;
}

char *arena_format(struct arena *arena, const char *format, ...)
{
	va_list arguments;
	int length;
	char *result;

	va_start(arguments, format);
	length = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	if (length < 0)
		return NULL;
	result = arena_allocate(arena, (size_t)length + 1);
	if (result == NULL)
		return NULL;
	va_start(arguments, format);
	vsnprintf(result, (size_t)length + 1, format, arguments);
	va_end(arguments);
	return result;
}

void *arena_grow(struct arena *arena, void *array, size_t count, size_t *capacity, size_t size)
{
	size_t larger;
	void *copy;

	if (count < *capacity)
		return array;
	if (*capacity > SIZE_MAX / 2)
		return NULL;
	larger = *capacity == 0 ? 8 : 2 * *capacity;
	if (size > 0 && larger > SIZE_MAX / size)
		return NULL;
	copy = arena_allocate(arena, larger * size);
	if (copy == NULL)
		return NULL;
	if (count > 0)
		memcpy(copy, array, count * size);
	*capacity = larger;
	return copy;
}
