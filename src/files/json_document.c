/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The part of files/json_read.h that deals with words from a list and with a file as a whole. */
#include <string.h>

#include "files/json_read.h"
#include "files/refusal.h"
#include "files/words.h"

void json_read_refuse_word(struct json_reader *reader, const struct json_node *node,
                           const char *const *words, size_t count)
{
	const char *advice = "write one of these words in double quotes";
	if (node->kind == JSON_STRING)
		advice = words_advice(reader->scratch, node->text, words, count,
		                      "write one of these words");
	json_read_refuse(reader, node, words_join(reader->scratch, words, count), advice);
}

bool json_read_word(struct json_reader *reader, const struct json_node *object, const char *key,
                    const char *const *words, size_t count, size_t *index)
{
	const struct json_node *member = json_read_member(
	    reader, object, key, JSON_REQUIRED, words_join(reader->scratch, words, count));
	if (member == NULL)
		return false;
	for (size_t i = 0; member->kind == JSON_STRING && i < count; i++) {
		if (strcmp(member->text, words[i]) == 0) {
			*index = i;
			return true;
		}
	}
	json_read_refuse_word(reader, member, words, count);
	return false;
}

static bool check_version(struct json_reader *reader, const struct json_node *root)
{
	const struct json_node *version =
	    json_read_member(reader, root, "version", JSON_REQUIRED, "version 1");
	if (version == NULL)
		return false;
	bool number = version->kind == JSON_NUMBER;
	if (number && version->number == 1)
		return true;
	json_read_refuse(reader, version, "version 1",
	                 number && version->number > 1
	                     ? "read this file with a newer version of this program"
	                     : "write 1");
	return false;
}

bool json_read_format(struct json_reader *reader, const struct json_node *root, const char *format)
{
	const char *accepted = arena_format(reader->scratch, "\"%s\"", format);
	if (root->kind != JSON_OBJECT) {
		json_read_refuse(reader, root, "an object { }",
		                 "check that this is the file you mean");
		return false;
	}
	const struct json_node *member =
	    json_read_member(reader, root, "format", JSON_REQUIRED, accepted);
	if (member == NULL)
		return false;
	if (member->kind != JSON_STRING || strcmp(member->text, format) != 0) {
		json_read_refuse(reader, member, accepted, "check that this is the file you mean");
		return false;
	}
	return check_version(reader, root);
}

enum status json_read_document(const char *file, const char *bytes, size_t length,
                               struct arena *arena,
                               void (*read)(struct json_reader *reader,
                                            const struct json_node *root, void *model),
                               void *model, struct fault_list *faults)
{
	size_t before = faults->count;
	struct arena *scratch = arena_create();
	if (arena == NULL || scratch == NULL) {
		arena_free(scratch);
		return refusal_memory(file, faults);
	}
	struct json_reader reader = {
	    .file = file, .arena = arena, .scratch = scratch, .faults = faults};
	const struct json_node *root = json_tree_read(file, bytes, length, scratch, faults);
	if (root != NULL)
		read(&reader, root, model);
	arena_free(scratch);
	fault_list_sort(faults);
	return refusal_status(faults, before);
}
