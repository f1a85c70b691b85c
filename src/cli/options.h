/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_OPTIONS_H
#define RESTPOINT_CLI_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "base/text.h"

/* The options of a command: long ones as --name=value or --name value, short ones as -o value or
 * -ovalue; options and operands in any order; `--` ends the options. Names are never shortened. */

struct option_rule {
	char letter;       /* 0: no short form */
	const char *name;  /* without the dashes; NULL ends a table of rules */
	const char *value; /* what stands for the value in help; NULL: takes none */
	const char *help;  /* a clause */
	bool repeats;      /* may be given more than once */
};

/* Those of every command: --json and --help. Ends with an entry without a name. */
extern const struct option_rule options_common[];

struct option_given {
	const struct option_rule *rule;
	const char *value; /* NULL for an option that takes none */
};

/* A command line as read; the strings are those of argv. */
struct options {
	size_t given_count;
	struct option_given *given;
	size_t operand_count;
	const char **operands;
};

/* Reads argv (argc arguments, none of them the program's or the command's name) by the rules and
 * the common ones. STATUS_OK; STATUS_USAGE with a sentence in complaint that names the nearest
 * known option; STATUS_SYSTEM when memory is out. Release with options_free in any case. */
enum status options_read(const struct option_rule *rules, int argc, char *const *argv,
                         struct options *options, struct text *complaint);
void options_free(struct options *options);

/* Whether an option was given, and its (last) value or NULL. */
bool options_has(const struct options *options, const char *name);
const char *options_value(const struct options *options, const char *name);

/* True when --json stands before `--`, for messages about a command line that is not read yet. */
bool options_want_json(int argc, char *const *argv);

/* The seed of --seed, or the default. Seeds are whole numbers up to 2^53 - 1, so that a JSON
 * reader that holds them as a double keeps them exact. */
enum status options_seed(const struct options *options, uint64_t *seed, struct text *complaint);

#endif
