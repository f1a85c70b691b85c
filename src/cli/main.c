/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "cli/command.h"
#include "cli/help.h"
#include "cli/nearest.h"
#include "cli/output.h"
#include "cli/signals.h"

/* Runs a command on the arguments behind its name. */
static enum status run_command(const struct command *command, int argc, char *const *argv,
                               struct invocation *invocation)
{
	struct text complaint = {0};
	enum status status;

	invocation->command = command;
	invocation->messages.command = command->name;
	status = options_read(command->options, argc, argv, &invocation->options, &complaint);
	if (status == STATUS_SYSTEM)
		command_memory_out(invocation);
	else if (status == STATUS_USAGE)
		command_complain(invocation, "%s", text_bytes(&complaint));
	else if (options_has(&invocation->options, "help"))
		help_command(command, &invocation->answer);
	else if (invocation->options.operand_count < command->operands_least)
		status = command_complain(invocation, "a file or name is missing");
	else if (invocation->options.operand_count > command->operands_most)
		status = command_complain(invocation, "\"%s\" is too much",
		                          invocation->options.operands[command->operands_most]);
	else
		status = command->run(invocation);
	text_free(&complaint);
	options_free(&invocation->options);
	return status;
}

/* The command, or the option of the program itself, that is nearest to a word. */
static const char *find_nearest(const char *word)
{
	size_t count;
	const struct command *const *commands = command_table(&count);
	struct nearest nearest;

	nearest_start(&nearest, word, strlen(word));
	for (size_t i = 0; i < count && word[0] != '-'; i++)
		nearest_offer(&nearest, commands[i]->name);
	nearest_offer(&nearest, word[0] != '-' ? "help" : "--help");
	if (word[0] == '-')
		nearest_offer(&nearest, "--version");
	return nearest.best;
}

static enum status complain(const struct invocation *invocation, const char *what,
                            const char *word)
{
	const char *nearest = find_nearest(word);
	struct text words = {0};

	text_print(&words, "%s \"%s\"; ", what, word);
	if (nearest != NULL)
		text_print(&words, "did you mean %s?", nearest);
	else
		text_add(&words, "restpoint --help lists the commands");
	messages_usage(&invocation->messages, HELP_USAGE, text_bytes(&words));
	text_free(&words);
	return STATUS_USAGE;
}

/* restpoint help [COMMAND] */
static enum status run_help(int argc, char *const *argv, struct invocation *invocation)
{
	if (argc == 0) {
		help_program(&invocation->answer);
		return STATUS_OK;
	}
	if (command_find(argv[0]) == NULL)
		return complain(invocation, "there is no help on", argv[0]);
	help_command(command_find(argv[0]), &invocation->answer);
	return STATUS_OK;
}

/* Everything but the streams and signals; argv without the program's name. */
static enum status run(int argc, char *const *argv, struct invocation *invocation)
{
	const char *word = argc > 0 ? argv[0] : NULL;

	if (word == NULL) {
		messages_usage(&invocation->messages, HELP_USAGE,
		               "a command is missing; restpoint --help lists them");
		return STATUS_USAGE;
	}
	if (command_find(word) != NULL)
		return run_command(command_find(word), argc - 1, argv + 1, invocation);
	if (strcmp(word, "--version") == 0 || strcmp(word, "-V") == 0)
		help_version(&invocation->answer);
	else if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0)
		help_program(&invocation->answer);
	else if (strcmp(word, "help") == 0)
		return run_help(argc - 1, argv + 1, invocation);
	else if (word[0] == '-')
		return complain(invocation, "a command comes first, found", word);
	else
		return complain(invocation, "unknown command", word);
	return STATUS_OK;
}

int main(int argc, char **argv)
{
	struct invocation invocation = {0};
	enum status status, written;

	signals_catch();
	output_prepare();
	argc = argc > 0 ? argc - 1 : 0;
	invocation.messages.json = options_want_json(argc, argv + 1);
	status = run(argc, argv + 1, &invocation);
	written = output_answer(&invocation.messages, &invocation.answer);
	signals_end();
	return status_exit_code(status == STATUS_OK ? written : status);
}
