/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/remarks.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "report/paragraph.h"

bool remarks_create(struct remarks *remarks)
{
	memset(remarks, 0, sizeof(*remarks));
	remarks->arena = arena_create();
	return remarks->arena != NULL;
}

void remarks_free(struct remarks *remarks)
{
	arena_free(remarks->arena);
	memset(remarks, 0, sizeof(*remarks));
}

void remarks_add(struct remarks *remarks, const char *format, ...)
{
	const char **items = arena_grow(remarks->arena, remarks->items, remarks->count,
	                                &remarks->capacity, sizeof(*items));
	va_list arguments;
	char *sentence;
	int length;

	va_start(arguments, format);
	length = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	sentence = length < 0 ? NULL : arena_allocate(remarks->arena, (size_t)length + 1);
	if (items == NULL || sentence == NULL) {
		remarks->failed = true;
		return;
	}
	va_start(arguments, format);
	vsnprintf(sentence, (size_t)length + 1, format, arguments);
	va_end(arguments);
	remarks->items = items;
	remarks->items[remarks->count++] = sentence;
}

void remarks_table(struct remarks *remarks, const struct table *table)
{
	static const struct {
		unsigned bit;
		const char *words, *remedy;
	} assumed[] = {
		{TABLE_ASSUMED_NOSE_HEIGHT, "nose height", "measure it and give #nose_height_m"},
		{TABLE_ASSUMED_SIGHT_SETBACK, "setback of the sight marks",
	     "measure it and give #sight_setback_m"},
		{TABLE_ASSUMED_MOUTHS, "pocket mouths",
	     "measure them and give #corner_mouth_m and #side_mouth_m"},
	};

	for (size_t i = 0; i < sizeof(assumed) / sizeof(assumed[0]); i++) {
		if ((table->assumed & assumed[i].bit) != 0)
			remarks_add(remarks, "The %s of %s %s assumed, not taken from a standard: %s.",
			            assumed[i].words, table->preset,
			            assumed[i].bit == TABLE_ASSUMED_MOUTHS ? "are" : "is",
			            assumed[i].remedy);
	}
}

void remarks_nap(struct remarks *remarks, const struct table *table)
{
	if (table->napped)
		remarks_add(remarks,
		            "%s has a napped cloth: its preset is geometry only. A ball rolls differently "
		            "with and against the nap; unless restpoint fit is asked for it (--nap), the "
		            "numbers of the cloth are not to be trusted.",
		            table->preset);
}

void remarks_profile(struct remarks *remarks, const struct profile *profile)
{
	size_t held = 0;

	remarks_table(remarks, &profile->table);
	if (!profile->has_nap)
		remarks_nap(remarks, &profile->table);
	for (size_t i = 0; i < profile->ball_count; i++)
		held += !profile->balls[i].reference && profile->balls[i].grip.state == KNOWLEDGE_HELD;
	if (held > 0)
		remarks_add(remarks, "Grips of balls held at 1: balls taken as alike.");
}

void remarks_print(const struct remarks *remarks, struct text *out)
{
	for (size_t i = 0; i < remarks->count; i++)
		paragraph_print(out, 2, 4, "- %s", remarks->items[i]);
}

void remarks_json(const struct remarks *remarks, const char *key, struct json_writer *writer)
{
	json_open_array(writer, key, false);
	for (size_t i = 0; i < remarks->count; i++)
		json_string(writer, NULL, remarks->items[i]);
	json_close_array(writer);
}
