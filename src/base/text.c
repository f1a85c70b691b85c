/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void text_free(struct text *text)
{
	free(text->bytes);
	*text = (struct text){0};
}

/* Makes room for that many bytes more and a terminating zero. */
static bool reserve(struct text *text, size_t more)
{
	size_t needed, larger;
	char *bytes;

	if (text->failed)
		return false;
	if (more > SIZE_MAX / 2 - 1 - text->length) {
		text->failed = true;
		return false;
	}
	needed = text->length + more + 1;
	if (needed <= text->capacity)
		return true;
	larger = text->capacity < 64 ? 64 : 2 * text->capacity;
	if (larger < needed)
		larger = needed;
	bytes = realloc(text->bytes, larger);
	if (bytes == NULL) {
		text->failed = true;
		return false;
	}
	text->bytes = bytes;
	text->capacity = larger;
	return true;
}

void text_add_bytes(struct text *text, const char *bytes, size_t length)
{
	if (!reserve(text, length))
		return;
	if (length > 0)
		memcpy(text->bytes + text->length, bytes, length);
	text->length += length;
	text->bytes[text->length] = '\0';
}

void text_add(struct text *text, const char *bytes)
{
	text_add_bytes(text, bytes, strlen(bytes));
}

void text_add_quoted(struct text *text, const char *bytes)
{
	text_add(text, "\"");
	for (; *bytes != '\0'; bytes++) {
		if (*bytes == '"')
			text_add(text, "\"");
		text_add_bytes(text, bytes, 1);
	}
	text_add(text, "\"");
}

void text_print(struct text *text, const char *format, ...)
{
	va_list arguments;
	int length;

	va_start(arguments, format);
	length = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	if (length < 0) {
		text->failed = true;
		return;
	}
	if (!reserve(text, (size_t)length))
		return;
	va_start(arguments, format);
	vsnprintf(text->bytes + text->length, (size_t)length + 1, format, arguments);
	va_end(arguments);
	text->length += (size_t)length;
}

const char *text_bytes(const struct text *text)
{
	return text->bytes == NULL ? "" : text->bytes;
}

size_t text_columns(const char *bytes)
{
	size_t columns = 0;

	/* Every code point has exactly one byte that is not a continuation byte 10xxxxxx. */
	for (; *bytes != '\0'; bytes++) {
		if (((unsigned char)*bytes & 0xC0u) != 0x80u)
			columns++;
	}
	return columns;
}
