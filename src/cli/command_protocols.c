/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <string.h>

#include "cli/inputs.h"
#include "cli/locate.h"
#include "files/disk.h"
#include "report/protocol_text.h"
#include "report/table_text.h"

/* A protocol in full; as JSON it is the file itself, which says all there is. */
static enum status show_one(struct invocation *invocation, struct library *library,
                            struct fault_list *faults)
{
	const struct protocol *protocol =
	    library_find(library, invocation->options.operands[0], NULL, faults);
	const char *bytes;
	size_t length;
	enum status status = STATUS_OK;

	if (protocol == NULL)
		return faults->count > 0 ? faults->items[0].status : STATUS_SYSTEM;
	if (!invocation->messages.json) {
		protocol_text_print(protocol, &invocation->answer);
		return STATUS_OK;
	}
	status = disk_read(protocol->file, library->arena, &bytes, &length, faults);
	if (status == STATUS_OK)
		text_add_bytes(&invocation->answer, bytes, length);
	return status;
}

/* Lists all that can be read; a broken one is told and the list goes on. */
static enum status list_all(struct invocation *invocation, struct library *library,
                            struct fault_list *faults)
{
	const char *folder = locate_folder(library->arena);
	const char **names;
	size_t count;
	enum status status;

	if (folder == NULL)
		return STATUS_SYSTEM;
	status = locate_names(library->arena, folder, &names, &count, faults);
	if (status != STATUS_OK)
		return status;
	for (size_t i = 0; i < count; i++) {
		const struct protocol *protocol = library_find(library, names[i], NULL, faults);

		if (protocol == NULL)
			status = STATUS_INPUT;
		else if (strcmp(protocol->name, names[i]) != 0)
			messages_note(&invocation->messages, "%s: its name is %s, but it is found as %s",
			              protocol->file, protocol->name, names[i]);
	}
	if (invocation->messages.json)
		protocol_list_json((const struct protocol *const *)library->protocols, library->count,
		                   folder, &invocation->answer);
	else
		protocol_list_text((const struct protocol *const *)library->protocols, library->count,
		                   folder, &invocation->answer);
	return status;
}

static enum status run_library(struct invocation *invocation)
{
	struct library library;
	struct fault_list faults;
	enum status status = library_create(&library);

	if (status != STATUS_OK)
		return command_memory_out(invocation);
	status = fault_list_create(&faults);
	if (status == STATUS_OK) {
		if (invocation->options.operand_count > 0)
			status = show_one(invocation, &library, &faults);
		else
			status = list_all(invocation, &library, &faults);
		messages_faults(&invocation->messages, &faults);
	}
	if (status == STATUS_SYSTEM && faults.count == 0)
		command_memory_out(invocation);
	fault_list_free(&faults);
	library_free(&library);
	return status;
}

static enum status run(struct invocation *invocation)
{
	if (!options_has(&invocation->options, "tables"))
		return run_library(invocation);
	if (invocation->options.operand_count > 0)
		return command_complain(invocation, "--tables shows the presets of tables and takes no "
		                                    "name of a protocol; give one of the two");
	if (invocation->messages.json)
		tables_json_print(&invocation->answer);
	else
		tables_text_print(&invocation->answer);
	return STATUS_OK;
}

static const struct option_rule rules[] = {
	{0, "tables", NULL, "show the presets of tables with their sources instead", false},
	{0, NULL, NULL, NULL, false},
};

const struct command command_protocols = {
	.name = "protocols",
	.summary = "lists the protocols, or shows one in full; the presets of tables",
	.usage = "restpoint protocols [NAME | --tables] [--json]",
	.purpose = "Lists the installed protocols, or shows one in full as a player reads it. NAME is "
			   "the name of an installed protocol, or a path that ends in .json or holds /. With "
			   "--tables it shows the presets of tables, assumed numbers marked.",
	.options = rules,
	.operands_least = 0,
	.operands_most = 1,
	.run = run,
};
