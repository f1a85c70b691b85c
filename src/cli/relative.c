/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/relative.h"

#include <stdlib.h>
#include <string.h>

#include "cli/locate.h"

/* The absolute folder of a file that need not exist; NULL on failure. Release with free. */
static char *folder_of(struct arena *arena, const char *file)
{
	const char *slash = file != NULL ? strrchr(file, '/') : NULL;
	const char *folder = ".";

	if (slash != NULL)
		folder = arena_copy(arena, file, slash == file ? 1 : (size_t)(slash - file));
	return folder != NULL ? realpath(folder, NULL) : NULL;
}

/* Bytes of the folders that both paths begin with, the '/' behind the last included. */
static size_t common_folders(const char *folder, const char *target)
{
	size_t common = 0;

	for (size_t i = 0; folder[i] == target[i] && target[i] != '\0'; i++) {
		if (target[i] == '/')
			common = i + 1;
	}
	return common;
}

/* target seen from folder; both absolute, folder ends in '/'. */
static const char *seen_from(struct arena *arena, const char *folder, const char *target)
{
	size_t common = common_folders(folder, target);
	const char *path = target + common;

	for (const char *byte = folder + common; *byte != '\0' && path != NULL; byte++) {
		if (*byte == '/')
			path = arena_format(arena, "../%s", path);
	}
	if (path != NULL && !locate_is_path(path))
		path = arena_format(arena, "./%s", path);
	return path == target + common ? arena_copy(arena, path, strlen(path)) : path;
}

const char *relative_path(struct arena *arena, const char *path, const char *file)
{
	char *folder = folder_of(arena, file);
	char *target = realpath(path, NULL);
	const char *result = NULL;

	if (folder != NULL && target != NULL) {
		const char *start = arena_format(arena, "%s%s", folder, strcmp(folder, "/") == 0 ? "" : "/");

		result = start != NULL ? seen_from(arena, start, target) : NULL;
	}
	free(folder);
	free(target);
	return result;
}
