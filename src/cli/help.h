/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_HELP_H
#define RESTPOINT_CLI_HELP_H

#include "base/text.h"
#include "cli/command.h"

/* The usage line of the program as a whole. */
#define HELP_USAGE "restpoint COMMAND [OPTION]... [FILE]..."

/* Help on the program, and on one of its commands. */
void help_program(struct text *out);
void help_command(const struct command *command, struct text *out);

/* Name, version, copyright and licence. */
void help_version(struct text *out);

/* The version number alone, e.g. "1.2.0". */
const char *help_version_number(void);

#endif
