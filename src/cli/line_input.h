/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_LINE_INPUT_H
#define RESTPOINT_CLI_LINE_INPUT_H

#include <stdbool.h>
#include <stdio.h>

/* Lines that a person or a script types at a prompt. Where standard input and the stream of the
 * prompts are terminals the line can be edited, recalled and completed (readline, which this file
 * alone knows); else prompts and lines are plain text. While it waits it watches the stop flag of
 * cli/signals.h and a descriptor by which other work calls. One at a time. */
struct line_input;

enum line_event {
	LINE_READ,    /* *line is the line, without its end */
	LINE_END,     /* end of input */
	LINE_STOPPED, /* a signal was caught */
	LINE_CALLED, /* the other descriptor can be read; the prompt was put away and comes back, with
	                 what was typed, at the next call */
	LINE_FAILED /* the input cannot be read, or memory is out */
};

/* Starts on standard input.
 *   prompts  stream that the prompts are written to
 *   words    what Tab completes, ended by NULL; must outlive the input
 * NULL when memory is out. */
struct line_input *line_input_open(FILE *prompts, const char *const *words);

/* Gives the terminal back as it was. NULL is allowed. */
void line_input_close(struct line_input *input);

/* Whether lines are edited at a terminal. */
bool line_input_is_edited(const struct line_input *input);

/* Waits for a line.
 *   prompt  the same until LINE_READ
 *   called  descriptor of the other work, or -1
 *   line    lives until the next call */
enum line_event line_input_read(struct line_input *input, const char *prompt, int called,
                                const char **line);

#endif
