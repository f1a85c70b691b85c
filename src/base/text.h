/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_TEXT_H
#define RESTPOINT_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* A growing piece of text in memory. Set it to zero to start; text_free at the end. After memory
 * ran out `failed` is true and further additions do nothing, so callers test once, at the end. */
struct text {
	char *bytes;     /* zero-terminated once anything was added; may be NULL before */
	size_t length;   /* without the terminating zero */
	size_t capacity; /* bytes allocated */
	bool failed;
};

void text_free(struct text *text);
void text_add(struct text *text, const char *bytes);
void text_add_bytes(struct text *text, const char *bytes, size_t length);
/* In double quotes, those inside doubled (RFC 4180). */
void text_add_quoted(struct text *text, const char *bytes);
void text_print(struct text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The bytes so far, never NULL. */
const char *text_bytes(const struct text *text);

/* Columns that a terminal uses for UTF-8 bytes: one per code point (no wide characters here). */
size_t text_columns(const char *bytes);

#endif
