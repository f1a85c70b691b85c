/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/inputs.h"

#include <stdlib.h>
#include <string.h>

#include "cli/locate.h"
#include "cli/output.h"
#include "files/measurement_file.h"

/* What the reader of a measurement needs to find its protocol. */
struct search {
	const struct invocation *invocation;
	struct library *library;
};

static void refuse_nameless(struct library *library, const char *file, struct fault_list *faults)
{
	const char *list = locate_list(library->arena);
	struct fault fault = {
		.status = STATUS_INPUT,
		.file = file,
		.what = "#protocol",
		.found = "no such setting and no --protocol",
		.accepted = arena_format(library->arena, "an installed protocol (%s) or a path",
	                             list != NULL ? list : "none"),
		.next = "add a row #protocol with the name, or give --protocol=NAME",
	};

	fault_list_add(faults, &fault);
}

static const struct protocol *find(void *context, const char *file, const char *name,
                                   struct fault_list *faults)
{
	const struct search *search = context;
	const char *option = options_value(&search->invocation->options, "protocol");

	if (option == NULL && name == NULL) {
		refuse_nameless(search->library, file, faults);
		return NULL;
	}
	if (option == NULL)
		return library_find(search->library, name, file, faults);
	if (name != NULL && strcmp(option, name) != 0)
		messages_note(&search->invocation->messages,
		              "%s: --protocol %s is used in place of the file's #protocol %s", file,
		              option, name);
	return library_find(search->library, option, NULL, faults);
}

static enum status read_one(const struct invocation *invocation, struct inputs *inputs,
                            const char *path)
{
	struct search search = {invocation, &inputs->library};
	struct protocol_finder finder = {find, &search};
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return command_memory_out(invocation);
	status = measurement_file_read(path, &finder, &inputs->measurements[inputs->count],
	                               &inputs->protocols[inputs->count], &faults);
	messages_faults(&invocation->messages, &faults);
	if (status == STATUS_OK)
		inputs->count++;
	else if (faults.count == 0)
		status = command_memory_out(invocation);
	fault_list_free(&faults);
	return status;
}

/* One file counted twice would make every interval too narrow. */
static enum status refuse_twice(const struct invocation *invocation)
{
	const struct options *options = &invocation->options;

	for (size_t i = 0; i < options->operand_count; i++) {
		for (size_t j = 0; j < i; j++) {
			if (output_same_file(options->operands[i], options->operands[j]))
				return command_complain(invocation, "%s and %s are one file; give it once",
				                        options->operands[j], options->operands[i]);
		}
	}
	return STATUS_OK;
}

enum status inputs_read(const struct invocation *invocation, struct inputs *inputs)
{
	size_t count = invocation->options.operand_count;
	enum status status = refuse_twice(invocation);

	memset(inputs, 0, sizeof(*inputs));
	if (status != STATUS_OK)
		return status;
	inputs->measurements = calloc(count, sizeof(*inputs->measurements));
	inputs->protocols = calloc(count, sizeof(*inputs->protocols));
	if (inputs->measurements == NULL || inputs->protocols == NULL ||
	    library_create(&inputs->library) != STATUS_OK)
		return command_memory_out(invocation);
	for (size_t i = 0; i < count; i++) {
		enum status one = read_one(invocation, inputs, invocation->options.operands[i]);

		if (one != STATUS_OK && status != STATUS_SYSTEM)
			status = one;
	}
	return status;
}

void inputs_free(struct inputs *inputs)
{
	for (size_t i = 0; i < inputs->count; i++)
		measurement_free(&inputs->measurements[i]);
	free(inputs->measurements);
	free(inputs->protocols);
	library_free(&inputs->library);
	memset(inputs, 0, sizeof(*inputs));
}
