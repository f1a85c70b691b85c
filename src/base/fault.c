/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/fault.h"

#include <string.h>

enum status fault_list_create(struct fault_list *list)
{
	*list = (struct fault_list){0};
	list->arena = arena_create();
	return list->arena == NULL ? STATUS_SYSTEM : STATUS_OK;
}

void fault_list_free(struct fault_list *list)
{
	arena_free(list->arena);
	*list = (struct fault_list){0};
}

/* Points *string to a copy of what it points to. */
static bool keep(struct arena *arena, const char **string)
{
	if (*string == NULL)
		return true;
	*string = arena_copy(arena, *string, strlen(*string));
	return *string != NULL;
}

void fault_list_add(struct fault_list *list, const struct fault *fault)
{
	struct fault copy = *fault;
	struct fault *items;

	items = arena_grow(list->arena, list->items, list->count, &list->capacity, sizeof copy);
	if (items == NULL) {
		list->memory_out = 1;
		return;
	}
	list->items = items;
	if (!keep(list->arena, &copy.file) || !keep(list->arena, &copy.shot) ||
	    !keep(list->arena, &copy.what) || !keep(list->arena, &copy.found) ||
	    !keep(list->arena, &copy.accepted) || !keep(list->arena, &copy.next)) {
		list->memory_out = 1;
		return;
	}
	list->items[list->count++] = copy;
}

static bool stands_before(const struct fault *a, const struct fault *b)
{
	if (a->line != b->line)
		return a->line < b->line;
	return a->column < b->column;
}

/* Merges the sorted halves from[0 .. middle) and from[middle .. count) into `to`; of equals, the
 * one of the first half comes first. */
static void merge(const struct fault *from, size_t middle, size_t count, struct fault *to)
{
	size_t first = 0, second = middle;

	for (size_t i = 0; i < count; i++) {
		if (first < middle &&
		    (second >= count || !stands_before(&from[second], &from[first])))
			to[i] = from[first++];
		else
			to[i] = from[second++];
	}
}

/* Sorts by merging ever longer pieces; spare has room for count faults. */
static void sort_run(struct fault *items, size_t count, struct fault *spare)
{
	for (size_t width = 1; width < count; width *= 2) {
		for (size_t start = 0; start + width < count; start += 2 * width) {
			size_t length = count - start < 2 * width ? count - start : 2 * width;

			merge(items + start, width, length, spare);
			memcpy(items + start, spare, length * sizeof *items);
		}
	}
}

static bool same_file(const struct fault *a, const struct fault *b)
{
	if (a->file == NULL || b->file == NULL)
		return a->file == b->file;
	return strcmp(a->file, b->file) == 0;
}

void fault_list_sort(struct fault_list *list)
{
	struct fault *spare;
	size_t end;

	if (list->count < 2)
		return;
	spare = arena_allocate(list->arena, list->count * sizeof *spare);
	if (spare == NULL) {
		list->memory_out = 1;
		return;
	}
	for (size_t start = 0; start < list->count; start = end) {
		end = start + 1;
		while (end < list->count && same_file(&list->items[start], &list->items[end]))
			end++;
		sort_run(list->items + start, end - start, spare);
	}
}

static void format_place(const struct fault *fault, struct text *out)
{
	if (fault->file == NULL)
		return;
	text_add(out, fault->file);
	if (fault->line > 0) {
		text_print(out, ":%zu", fault->line);
		if (fault->column > 0)
			text_print(out, ":%zu", fault->column);
	}
	text_add(out, ": ");
}

void fault_format(const struct fault *fault, struct text *out)
{
	const char *separator = "";

	format_place(fault, out);
	if (fault->shot != NULL)
		text_print(out, "shot %s: ", fault->shot);
	if (fault->what != NULL) {
		text_add(out, fault->what);
		separator = ": ";
	}
	if (fault->found != NULL) {
		text_print(out, "%sfound %s", separator, fault->found);
		separator = "; ";
	}
	if (fault->accepted != NULL) {
		text_print(out, "%saccepted: %s", separator, fault->accepted);
		separator = "; ";
	}
	if (fault->next != NULL)
		text_print(out, "%s%s", separator, fault->next);
	text_add(out, ".");
}
