/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files_support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "files/json_tree.h"
#include "files/profile_file.h"
#include "files/protocol_file.h"
#include "files/refusal.h"

static void stop(const char *what, const char *which)
{
	fprintf(stderr, "files_support: %s: %s\n", what, which);
	exit(99);
}

const char *support_path(const char *relative)
{
	static char path[4096];
	const char *top = getenv("abs_top_srcdir");
	if (top == NULL)
		top = getenv("top_srcdir");
	if (top == NULL)
		stop("neither abs_top_srcdir nor top_srcdir is set", relative);
	snprintf(path, sizeof path, "%s/%s", top, relative);
	return path;
}

char *support_read(const char *path, size_t *length)
{
	FILE *file = fopen(path, "rb");
	if (file == NULL)
		stop("cannot open", path);
	struct text content = {0};
	char step[4096];
	size_t count;
	while ((count = fread(step, 1, sizeof step, file)) > 0)
		text_add_bytes(&content, step, count);
	if (ferror(file) != 0 || content.failed)
		stop("cannot read", path);
	fclose(file);
	char *exact = malloc(content.length > 0 ? content.length : 1);
	if (exact == NULL)
		stop("no memory for", path);
	if (content.length > 0)
		memcpy(exact, content.bytes, content.length);
	*length = content.length;
	text_free(&content);
	return exact;
}

char *support_corpus(const char *name, size_t *length)
{
	char relative[256];
	snprintf(relative, sizeof relative, "tests/unit/corpus/%s", name);
	return support_read(support_path(relative), length);
}

char *support_sentences(const struct fault_list *faults, size_t first)
{
	struct text all = {0};
	text_add(&all, "");
	for (size_t i = first; i < faults->count; i++) {
		fault_format(&faults->items[i], &all);
		text_add(&all, "\n");
	}
	if (all.failed || all.bytes == NULL)
		stop("no memory for", "faults");
	return all.bytes;
}

static bool in_corpus(const char *name)
{
	char relative[256];
	snprintf(relative, sizeof relative, "tests/unit/corpus/%s", name);
	FILE *file = fopen(support_path(relative), "rb");
	if (file == NULL)
		return false;
	fclose(file);
	return true;
}

static const struct protocol *find(void *context, const char *file, const char *name,
                                   struct fault_list *faults)
{
	struct support_finder *finder = context;
	finder->calls++;
	finder->asked_by_name = name != NULL;
	if (name == NULL || strlen(name) >= sizeof finder->name || !in_corpus(name)) {
		struct fault fault = {.status = STATUS_INPUT,
		                      .file = file,
		                      .what = "protocol",
		                      .found =
		                          name == NULL ? "no #protocol" : "a name without a file",
		                      .accepted = "a protocol of the corpus"};
		fault_list_add(faults, &fault);
		return NULL;
	}
	if (strcmp(finder->name, name) == 0)
		return &finder->protocol;
	support_finder_free(finder);
	size_t length;
	char *bytes = support_corpus(name, &length);
	enum status status = protocol_file_parse(name, bytes, length, &finder->protocol, faults);
	free(bytes);
	if (status != STATUS_OK)
		return NULL;
	memcpy(finder->name, name, strlen(name) + 1);
	return &finder->protocol;
}

struct protocol_finder support_finder(struct support_finder *finder)
{
	return (struct protocol_finder){.find = find, .context = finder};
}

void support_finder_free(struct support_finder *finder)
{
	protocol_free(&finder->protocol);
	finder->name[0] = '\0';
}

static enum status parse_measurement(const char *name, const char *bytes, size_t length,
                                     struct fault_list *faults)
{
	struct support_finder context = {.calls = 0};
	struct protocol_finder finder = support_finder(&context);
	struct measurement measurement;
	const struct protocol *protocol;
	enum status status =
	    measurement_file_parse(name, bytes, length, &finder, &measurement, &protocol, faults);
	measurement_free(&measurement);
	support_finder_free(&context);
	return status;
}

static enum status parse_tree(const char *name, const char *bytes, size_t length,
                              struct fault_list *faults)
{
	size_t before = faults->count;
	struct arena *arena = arena_create();
	if (arena == NULL)
		stop("no memory for", name);
	const struct json_node *root = json_tree_read(name, bytes, length, arena, faults);
	enum status status = refusal_status(faults, before);
	if (root == NULL && status == STATUS_OK)
		stop("neither a tree nor a fault", name);
	arena_free(arena);
	return status;
}

static bool has_kind(const char *name, const char *kind)
{
	const char *dash = strchr(name, '-');
	return dash != NULL && strncmp(dash + 1, kind, strlen(kind)) == 0;
}

enum status support_parse(const char *name, const char *bytes, size_t length,
                          struct fault_list *faults)
{
	size_t size = strlen(name);
	enum status status;
	if (size > 4 && strcmp(name + size - 4, ".csv") == 0)
		return parse_measurement(name, bytes, length, faults);
	if (has_kind(name, "protocol")) {
		struct protocol protocol;
		status = protocol_file_parse(name, bytes, length, &protocol, faults);
		protocol_free(&protocol);
	} else if (has_kind(name, "profile")) {
		struct profile profile;
		status = profile_file_parse(name, bytes, length, &profile, faults);
		profile_free(&profile);
	} else if (has_kind(name, "constants")) {
		struct constants constants = {.terms = {0.0}};
		status = constants_file_parse(name, bytes, length, &constants, faults);
	} else {
		status = parse_tree(name, bytes, length, faults);
	}
	return status;
}
