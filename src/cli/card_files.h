/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_CARD_FILES_H
#define RESTPOINT_CLI_CARD_FILES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/status.h"
#include "cli/messages.h"
#include "report/canvas.h"
#include "report/card.h"

/* The files of a card: one PDF with all sheets, or a numbered file for each. */

/* The format that the ending of a name stands for, in any case: .pdf, .svg, .png. False for
 * others. */
bool card_files_format(const char *path, enum canvas_format *format);

struct card_files {
	enum canvas_format format;
	size_t count;
	const char **paths;
};

/* Names the files of that many sheets: a PDF, and a single sheet, as given; more sheets with -1, -2,
 * ... before the ending, with zeros in front so that all numbers are as long. False when memory is
 * out. */
bool card_files_name(struct arena *arena, const char *path, enum canvas_format format,
                     size_t sheets, struct card_files *files);

/* Draws and writes, each file replaced whole. STATUS_OK, or STATUS_SYSTEM after a message; *told is
 * false where memory was out and no message went with it. */
enum status card_files_write(const struct messages *messages, const struct card_set *set,
                             const struct card_files *files, bool *told);

#endif
