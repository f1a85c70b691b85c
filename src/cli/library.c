/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/inputs.h"

#include <stdlib.h>
#include <string.h>

#include "cli/locate.h"
#include "cli/output.h"
#include "files/protocol_file.h"

enum status library_create(struct library *library)
{
	memset(library, 0, sizeof(*library));
	library->arena = arena_create();
	return library->arena != NULL ? STATUS_OK : STATUS_SYSTEM;
}

void library_free(struct library *library)
{
	for (size_t i = 0; i < library->count; i++)
		protocol_free(library->protocols[i]);
	arena_free(library->arena);
	memset(library, 0, sizeof(*library));
}

static const struct protocol *read_protocol(struct library *library, const char *path,
                                            struct fault_list *faults)
{
	struct protocol **grown = arena_grow(library->arena, library->protocols, library->count,
	                                     &library->capacity, sizeof(struct protocol *));
	struct protocol *protocol = arena_allocate(library->arena, sizeof(*protocol));

	if (grown == NULL || protocol == NULL) {
		faults->memory_out = 1;
		return NULL;
	}
	library->protocols = grown;
	if (protocol_file_read(path, protocol, faults) != STATUS_OK)
		return NULL;
	library->protocols[library->count++] = protocol;
	return protocol;
}

const struct protocol *library_find(struct library *library, const char *name, const char *file,
                                    struct fault_list *faults)
{
	const char *path = locate_protocol(library->arena, name, file, faults);

	if (path == NULL)
		return NULL;
	for (size_t i = 0; i < library->count; i++) {
		const char *known = library->protocols[i]->file;

		if (known != NULL && output_same_file(known, path))
			return library->protocols[i];
	}
	return read_protocol(library, path, faults);
}

bool library_fill(struct library *library)
{
	const char *folder = locate_folder(library->arena);
	const char **names;
	struct fault_list unheard;
	size_t count;
	bool complete;

	if (folder == NULL || fault_list_create(&unheard) != STATUS_OK)
		return false;
	locate_names(library->arena, folder, &names, &count, &unheard);
	for (size_t i = 0; i < count; i++)
		library_find(library, names[i], NULL, &unheard);
	complete = !unheard.memory_out;
	fault_list_free(&unheard);
	return complete;
}
