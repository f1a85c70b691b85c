/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/paragraph.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Columns of the first `length` bytes of UTF-8: continuation bytes do not count. */
static size_t columns_of(const char *bytes, size_t length)
{
	size_t columns = 0;

	for (size_t i = 0; i < length; i++)
		columns += ((unsigned char)bytes[i] & 0xC0u) != 0x80u;
	return columns;
}

void paragraph_blanks(struct text *out, size_t count)
{
	while (count-- > 0)
		text_add_bytes(out, " ", 1);
}

void paragraph_cell(struct text *out, const char *bytes, size_t columns)
{
	size_t used = text_columns(bytes);

	text_add(out, bytes);
	if (used < columns)
		paragraph_blanks(out, columns - used);
}

void paragraph_add(struct text *out, size_t first, size_t indent, const char *words)
{
	size_t column = 0; /* of the line being written; 0: nothing stands on it */
	size_t margin = first;

	while (*words != '\0') {
		size_t blanks = strspn(words, " \n\t");
		size_t length = strcspn(words + blanks, " \n\t");
		size_t columns = columns_of(words + blanks, length);
		bool forced = memchr(words, '\n', blanks) != NULL;

		words += blanks;
		if (length == 0)
			break;
		if (column > 0 && (forced || column + 1 + columns > PARAGRAPH_COLUMNS)) {
			text_add(out, "\n");
			column = 0;
			margin = indent;
		}
		paragraph_blanks(out, column > 0 ? 1 : margin);
		column += (column > 0 ? 1 : margin) + columns;
		text_add_bytes(out, words, length);
		words += length;
	}
	if (column > 0)
		text_add(out, "\n");
}

void paragraph_print(struct text *out, size_t first, size_t indent, const char *format, ...)
{
	va_list arguments;
	char *words;
	int length;

	va_start(arguments, format);
	length = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	words = length < 0 ? NULL : malloc((size_t)length + 1);
	if (words == NULL) {
		out->failed = true;
		return;
	}
	va_start(arguments, format);
	vsnprintf(words, (size_t)length + 1, format, arguments);
	va_end(arguments);
	paragraph_add(out, first, indent, words);
	free(words);
}

void paragraph_fact(struct text *out, const char *name, size_t width, const char *words)
{
	struct text rest = {0};

	paragraph_add(&rest, 2 + width, 2 + width, words);
	text_add(out, "  ");
	if (rest.length > 2 + width) {
		paragraph_cell(out, name, width);
		text_add_bytes(out, rest.bytes + 2 + width, rest.length - 2 - width);
	} else {
		text_print(out, "%s\n", name);
	}
	out->failed = out->failed || rest.failed;
	text_free(&rest);
}
