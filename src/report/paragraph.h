/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PARAGRAPH_H
#define RESTPOINT_REPORT_PARAGRAPH_H

#include <stddef.h>

#include "base/text.h"

/* Plain text of at most 80 columns. */
#define PARAGRAPH_COLUMNS 80

/* Adds words as lines that end at column 80 at the latest (a single longer word stays whole), the
 * first line indented by `first` blanks and the others by `indent`. A line end in words starts a
 * new line. Ends with a line end; adds nothing for words without any letter. */
void paragraph_add(struct text *out, size_t first, size_t indent, const char *words);

/* The same for words made by printf rules. */
void paragraph_print(struct text *out, size_t first, size_t indent, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* One line of a list of facts: the name in a column of `width` blanks after an indent of 2, the
 * words behind it, continued below themselves. */
void paragraph_fact(struct text *out, const char *name, size_t width, const char *words);

/* Adds `count` blanks. */
void paragraph_blanks(struct text *out, size_t count);

/* Adds the bytes and blanks behind them up to that many columns. */
void paragraph_cell(struct text *out, const char *bytes, size_t columns);

#endif
