/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/locate.h"

#include <dirent.h>
#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define SUFFIX ".json"
#define SUFFIX_LENGTH 5

static bool has_suffix(const char *name)
{
	size_t length = strlen(name);

	return length > SUFFIX_LENGTH && strcmp(name + length - SUFFIX_LENGTH, SUFFIX) == 0;
}

bool locate_is_path(const char *name)
{
	return strchr(name, '/') != NULL || has_suffix(name);
}

/* The folder that an installed program finds beside itself, or NULL. */
static const char *beside_program(struct arena *arena)
{
	char program[PATH_MAX];
	ssize_t length = readlink("/proc/self/exe", program, sizeof(program));
	const char *folder;

	while (length > 0 && program[length - 1] != '/')
		length--;
	if (length <= 0)
		return NULL;
	folder = arena_format(arena, "%.*s../share/restpoint/protocols", (int)length, program);
	return folder != NULL && access(folder, R_OK | X_OK) == 0 ? folder : NULL;
}

const char *locate_folder(struct arena *arena)
{
	const char *data = getenv("RESTPOINT_DATA");
	const char *folder;

	if (data != NULL && data[0] != '\0')
		return arena_format(arena, "%s/protocols", data);
	folder = beside_program(arena);
	return folder != NULL ? folder : arena_format(arena, "%s", RESTPOINT_DATADIR "/protocols");
}

static int compare_names(const void *first, const void *second)
{
	return strcmp(*(const char *const *)first, *(const char *const *)second);
}

static enum status read_names(struct arena *arena, DIR *stream, const char ***names, size_t *count)
{
	size_t capacity = 0;
	struct dirent *entry;

	while ((entry = readdir(stream)) != NULL) {
		const char **grown;

		if (entry->d_name[0] == '.' || !has_suffix(entry->d_name))
			continue;
		grown = arena_grow(arena, *names, *count, &capacity, sizeof(**names));
		if (grown == NULL)
			return STATUS_SYSTEM;
		*names = grown;
		grown[*count] = arena_copy(arena, entry->d_name, strlen(entry->d_name) - SUFFIX_LENGTH);
		if (grown[(*count)++] == NULL)
			return STATUS_SYSTEM;
	}
	return STATUS_OK;
}

enum status locate_names(struct arena *arena, const char *folder, const char ***names,
                         size_t *count, struct fault_list *faults)
{
	DIR *stream = opendir(folder);
	enum status status;

	*names = NULL;
	*count = 0;
	if (stream == NULL) {
		struct fault fault = {
			.status = STATUS_SYSTEM,
			.file = folder,
			.what = "folder of installed protocols",
			.found = strerror(errno),
			.accepted = "a folder that can be read",
			.next = "install restpoint, or set RESTPOINT_DATA to the folder that holds protocols/",
		};

		fault_list_add(faults, &fault);
		return STATUS_SYSTEM;
	}
	status = read_names(arena, stream, names, count);
	closedir(stream);
	if (*count > 1)
		qsort(*names, *count, sizeof(**names), compare_names);
	return status;
}

const char *locate_list(struct arena *arena)
{
	const char *folder = locate_folder(arena);
	const char **names;
	const char *list;
	size_t count = 0;
	struct fault_list unheard = {0};

	if (folder == NULL || fault_list_create(&unheard) != STATUS_OK)
		return NULL;
	locate_names(arena, folder, &names, &count, &unheard);
	fault_list_free(&unheard);
	if (count == 0)
		return arena_format(arena, "none in %s", folder);
	list = names[0];
	for (size_t i = 1; i < count && list != NULL; i++)
		list = arena_format(arena, "%s, %s", list, names[i]);
	return list;
}

/* A path given in a file, from the current folder. */
static const char *relative_to(struct arena *arena, const char *path, const char *file)
{
	const char *slash = file != NULL ? strrchr(file, '/') : NULL;

	if (path[0] == '/' || slash == NULL)
		return arena_copy(arena, path, strlen(path));
	return arena_format(arena, "%.*s/%s", (int)(slash - file), file, path);
}

static void refuse(struct arena *arena, const char *name, const char *file,
                   struct fault_list *faults)
{
	const char *list = locate_list(arena);
	struct fault fault = {
		.status = STATUS_INPUT,
		.file = file,
		.what = file != NULL ? "#protocol" : "protocol",
		.found = arena_format(arena, "\"%s\", which is not installed", name),
		.accepted = arena_format(arena, "an installed protocol (%s), or a path that ends in .json "
	                                    "or holds /",
	                             list != NULL ? list : "none"),
		.next = "name one of these or the path of a protocol file",
	};

	fault_list_add(faults, &fault);
}

const char *locate_protocol(struct arena *arena, const char *name, const char *file,
                            struct fault_list *faults)
{
	const char *folder, *path;

	if (locate_is_path(name))
		return relative_to(arena, name, file);
	folder = locate_folder(arena);
	path = folder != NULL ? arena_format(arena, "%s/%s" SUFFIX, folder, name) : NULL;
	if (path != NULL && access(path, F_OK) == 0)
		return path;
	refuse(arena, name, file, faults);
	return NULL;
}
