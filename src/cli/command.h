/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_COMMAND_H
#define RESTPOINT_CLI_COMMAND_H

#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "base/text.h"
#include "cli/messages.h"
#include "cli/options.h"

/* One call of a command: its command line as read, how to speak, and where the answer goes. */
struct invocation {
	const struct command *command;
	struct options options;
	struct messages messages;
	struct text answer; /* for standard output; written by main where the command did not */
};

/* A command of the program. */
struct command {
	const char *name;
	const char *summary;  /* for the list of commands, a clause */
	const char *usage;    /* without "Usage: " */
	const char *purpose;  /* for its help: a paragraph or two */
	const struct option_rule *options; /* its own, ended by an entry without a name */
	size_t operands_least, operands_most;
	enum status (*run)(struct invocation *invocation);
};

extern const struct command command_protocols;
extern const struct command command_check;
extern const struct command command_effects;
extern const struct command command_fit;
extern const struct command command_show;
extern const struct command command_simulate;
extern const struct command command_card;
extern const struct command command_guide;
extern const struct command command_plan;
extern const struct command command_predict;
extern const struct command command_compare;

/* The commands in the order of help; *count receives their number. */
const struct command *const *command_table(size_t *count);

/* The command of that name, or NULL. */
const struct command *command_find(const char *name);

/* Complains about the command line, with the usage line. Returns STATUS_USAGE. */
enum status command_complain(const struct invocation *invocation, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The seed of --seed, or the default. STATUS_OK, or STATUS_USAGE when it was complained about. */
enum status command_read_seed(const struct invocation *invocation, uint64_t *seed);

/* The whole number that an option gives, from least to most; usual where it is not given. STATUS_OK,
 * or STATUS_USAGE when it was complained about. */
enum status command_read_count(const struct invocation *invocation, const char *name, size_t least,
                               size_t most, size_t usual, size_t *count);

/* Says that memory is out. Returns STATUS_SYSTEM. */
enum status command_memory_out(const struct invocation *invocation);

#endif
