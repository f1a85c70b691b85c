/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_OUTPUT_H
#define RESTPOINT_CLI_OUTPUT_H

#include <stdbool.h>

#include "base/status.h"
#include "base/text.h"
#include "cli/messages.h"

/* Opens /dev/null, in the direction in which it cannot be used, for each standard stream that the
 * parent closed: no file of the work then lands there, and a write is told as an error. */
void output_prepare(void);

/* Writes the answer to standard output and closes it, checked to the end, and empties the text; an
 * empty answer leaves the stream alone. STATUS_OK; STATUS_SYSTEM after a message. A reader that
 * went away ends the program as SIGPIPE does. */
enum status output_answer(const struct messages *messages, struct text *answer);

/* Replaces a file of the person's choosing whole. STATUS_OK, or STATUS_SYSTEM after a message. */
enum status output_file(const struct messages *messages, const char *path,
                        const struct text *contents);

/* Whether two paths lead to one existing file. */
bool output_same_file(const char *first, const char *second);

/* Checks before long work that a file can be written there: its folder exists and may be written
 * to, and it is no folder itself. STATUS_OK, or STATUS_SYSTEM after a message. */
enum status output_check(const struct messages *messages, const char *path);

#endif
