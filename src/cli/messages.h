/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_MESSAGES_H
#define RESTPOINT_CLI_MESSAGES_H

#include <stdbool.h>

#include "base/fault.h"
#include "base/status.h"

/* Everything that is said on standard error. In plain form a message is a line of text; with --json
 * each is one JSON object on a line of its own, of format "restpoint-message". */
struct messages {
	bool json;
	const char *command; /* NULL while no command is known */
};

/* Something the person should know though the work goes on. */
void messages_note(const struct messages *messages, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Work ended for a reason that has no place in a file. */
void messages_error(const struct messages *messages, enum status status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The command line is wrong: what is wrong, then the usage line of the command. */
void messages_usage(const struct messages *messages, const char *usage, const char *complaint);

/* Every fault of a list, then, for more than one, how many there were. */
void messages_faults(const struct messages *messages, const struct fault_list *faults);

#endif
