/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"

const struct command *const *command_table(size_t *count)
{
	static const struct command *const commands[] = {
		&command_protocols, &command_plan, &command_card, &command_guide,
		&command_check, &command_fit, &command_show, &command_predict,
		&command_compare, &command_effects, &command_simulate,
	};

	*count = sizeof(commands) / sizeof(commands[0]);
	return commands;
}

const struct command *command_find(const char *name)
{
	size_t count;
	const struct command *const *commands = command_table(&count);

	for (size_t i = 0; i < count; i++) {
		if (strcmp(commands[i]->name, name) == 0)
			return commands[i];
	}
	return NULL;
}

enum status command_complain(const struct invocation *invocation, const char *format, ...)
{
	char words[1024]; /* longer complaints are cut */
	va_list arguments;

	va_start(arguments, format);
	vsnprintf(words, sizeof(words), format, arguments);
	va_end(arguments);
	messages_usage(&invocation->messages, invocation->command->usage, words);
	return STATUS_USAGE;
}

enum status command_read_seed(const struct invocation *invocation, uint64_t *seed)
{
	struct text complaint = {0};
	enum status status = options_seed(&invocation->options, seed, &complaint);

	if (status != STATUS_OK)
		command_complain(invocation, "%s", text_bytes(&complaint));
	text_free(&complaint);
	return status;
}

enum status command_read_count(const struct invocation *invocation, const char *name, size_t least,
                               size_t most, size_t usual, size_t *count)
{
	const char *value = options_value(&invocation->options, name);
	unsigned long long number = usual;

	if (value != NULL &&
	    (!number_read_count(value, strlen(value), most, &number) || number < least))
		return command_complain(invocation,
		                        "option --%s: found \"%s\"; accepted: a whole number from %zu "
		                        "to %zu",
		                        name, value, least, most);
	*count = (size_t)number;
	return STATUS_OK;
}

enum status command_memory_out(const struct invocation *invocation)
{
	messages_error(&invocation->messages, STATUS_SYSTEM,
	               "memory is out; close other programs and try again");
	return STATUS_SYSTEM;
}
