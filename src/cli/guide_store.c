/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/guide_store.h"

#include <string.h>
#include <unistd.h>

#include "cli/output.h"
#include "files/disk.h"
#include "files/measurement_file.h"

#define MEMORY_OUT "memory is out; close other programs and try again"

/* What the reader needs to see that the file goes with the protocol. */
struct expected {
	struct library *library;
	const struct protocol *protocol;
	const char *name;
};

/* The line of the setting #protocol; 0 where it is not found. */
static size_t protocol_line(struct arena *arena, const char *path)
{
	const char *bytes;
	size_t length, line = 1;
	struct fault_list unheard;

	if (fault_list_create(&unheard) != STATUS_OK)
		return 0;
	if (disk_read(path, arena, &bytes, &length, &unheard) != STATUS_OK)
		bytes = "";
	fault_list_free(&unheard);
	for (; *bytes != '\0'; line++) {
		const char *first = bytes + strspn(bytes, "\xEF\xBB\xBF\" ");

		if (strncmp(first, "#protocol", strlen("#protocol")) == 0)
			return line;
		bytes += strcspn(bytes, "\n");
		bytes += *bytes == '\n';
	}
	return 0;
}

static void refuse_protocol(const struct expected *expected, const char *file, const char *name,
                            struct fault_list *faults)
{
	struct arena *arena = expected->library->arena;
	struct fault fault = {
	    .status = STATUS_INPUT,
	    .file = file,
	    .line = protocol_line(arena, file),
	    .column = 2,
	    .what = "#protocol",
	    .found = arena_format(arena, "\"%s\"", name),
	    .accepted = arena_format(arena, "%s, the protocol to be played", expected->name),
	    .next = arena_format(arena,
	                         "name another file with --output, or go on with restpoint "
	                         "guide %s -o %s",
	                         name, file),
	};

	fault_list_add(faults, &fault);
}

static const struct protocol *find(void *context, const char *file, const char *name,
                                   struct fault_list *faults)
{
	const struct expected *expected = context;
	const struct protocol *found;

	if (name == NULL)
		return expected->protocol;
	found = library_find(expected->library, name, file, faults);
	if (found == expected->protocol)
		return found;
	if (found != NULL)
		refuse_protocol(expected, file, name, faults);
	return NULL;
}

static enum status read_file(struct guide_store *store, const struct messages *messages,
                             struct expected *expected, struct measurement *measurement)
{
	struct protocol_finder finder = {find, expected};
	const struct protocol *protocol;
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return status;
	status = measurement_file_read(store->path, &finder, measurement, &protocol, &faults);
	messages_faults(messages, &faults);
	if (status != STATUS_OK && faults.count > 0)
		messages_note(messages,
		              "%s was left as it is; mend it, or name another file with --output",
		              store->path);
	fault_list_free(&faults);
	memcpy(store->sha256, measurement->sha256, sizeof store->sha256);
	store->exists = true;
	return status;
}

static enum status make_new(struct guide_store *store, struct measurement *measurement)
{
	*measurement = (struct measurement){.arena = arena_create(), .separator = ','};
	if (measurement->arena == NULL)
		return STATUS_SYSTEM;
	measurement->session = session_default();
	measurement->file = arena_copy(measurement->arena, store->path, strlen(store->path));
	return measurement->file != NULL ? STATUS_OK : STATUS_SYSTEM;
}

enum status guide_store_open(struct guide_store *store, const char *path,
                             const struct messages *messages, struct library *library,
                             const struct protocol *protocol, const char *name,
                             struct measurement *measurement)
{
	struct expected expected = {library, protocol, name};
	enum status status;

	*store = (struct guide_store){.path = path};
	status = access(path, F_OK) == 0 ? read_file(store, messages, &expected, measurement)
	                                 : make_new(store, measurement);
	if (status == STATUS_OK && measurement->session.protocol == NULL)
		measurement->session.protocol = arena_copy(measurement->arena, name, strlen(name));
	return status;
}

void guide_store_free(struct guide_store *store)
{
	text_free(&store->text);
}

/* Whether the file is still as it was read or written last. */
static bool is_unchanged(const struct guide_store *store, struct fault_list *faults)
{
	struct arena *arena = arena_create();
	const char *bytes;
	char sha256[65];
	size_t length;
	bool same;

	if (arena == NULL)
		return false;
	if (access(store->path, F_OK) != 0) {
		arena_free(arena);
		return !store->exists;
	}
	same = disk_read(store->path, arena, &bytes, &length, faults) == STATUS_OK;
	if (same) {
		disk_sha256(bytes, length, sha256);
		same = store->exists && strcmp(sha256, store->sha256) == 0;
	}
	arena_free(arena);
	return same;
}

static enum status refuse_changed(struct guide_store *store, const struct messages *messages)
{
	messages_error(
	    messages, STATUS_INPUT,
	    "%s was changed or taken away by another program while the guide ran, and is "
	    "left as it is now; what was typed last is not in it. Look at it, then start "
	    "the guide again: it goes on from there",
	    store->path);
	return STATUS_INPUT;
}

enum status guide_store_save(struct guide_store *store, const struct messages *messages,
                             const struct measurement *measurement)
{
	struct text text = {0};
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return status;
	store->unsaved = true;
	measurement_file_print(measurement, -1, -1, &text);
	if (text.failed) {
		messages_error(messages, STATUS_SYSTEM, MEMORY_OUT);
		status = STATUS_SYSTEM;
	} else if (!is_unchanged(store, &faults)) {
		messages_faults(messages, &faults);
		status = refuse_changed(store, messages);
	} else {
		status = disk_replace(store->path, text_bytes(&text), text.length, &faults);
		messages_faults(messages, &faults);
	}
	if (status == STATUS_OK) {
		disk_sha256(text_bytes(&text), text.length, store->sha256);
		text_free(&store->text);
		store->text = text;
		store->exists = true;
		store->unsaved = false;
	} else {
		text_free(&text);
	}
	fault_list_free(&faults);
	return status;
}
