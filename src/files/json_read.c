/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/json_read.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "files/refusal.h"
#include "files/utf8.h"
#include "files/words.h"

/* Adds the path of a node below the base: `launch.speed_m_s`, `watch[0].from`. */
static void add_path(struct text *path, const struct json_node *node,
                     const struct json_reader *reader)
{
	if (node == reader->base || node->parent == NULL)
		return;
	add_path(path, node->parent, reader);
	if (node->key == NULL) {
		text_print(path, "[%zu]", node->index);
		return;
	}
	const char *key = node->key;
	if (!utf8_is_plain(key))
		key = utf8_quote(reader->scratch, key, strlen(key));
	text_print(path, "%s%s", path->length > 0 ? "." : "", key != NULL ? key : "");
}

/* The path with one more key behind it (NULL: none); "file" for the whole. */
static const char *path_of(const struct json_reader *reader, const struct json_node *node,
                           const char *key)
{
	struct text path = {0};
	add_path(&path, node, reader);
	if (key != NULL)
		text_print(&path, "%s%s", path.length > 0 ? "." : "", key);
	const char *copy = path.length > 0 ? arena_copy(reader->scratch, path.bytes, path.length)
	                                   : (reader->shot != NULL ? NULL : "file");
	text_free(&path);
	return copy;
}

static void add_fault(struct json_reader *reader, size_t line, size_t column, const char *what,
                      const char *found, const char *accepted, const char *next)
{
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = reader->file,
	                      .line = line,
	                      .column = column,
	                      .shot = reader->shot,
	                      .what = what,
	                      .found = found,
	                      .accepted = accepted,
	                      .next = next};
	fault_list_add(reader->faults, &fault);
}

static const char *describe(const struct json_reader *reader, const struct json_node *node)
{
	switch (node->kind) {
	case JSON_OBJECT:
		return "an object { }";
	case JSON_ARRAY:
		return "a list [ ]";
	case JSON_STRING:
		return utf8_quote(reader->scratch, node->text, strlen(node->text));
	default:
		return arena_copy(reader->scratch, node->raw, node->raw_length);
	}
}

void json_read_refuse_found(struct json_reader *reader, const struct json_node *node,
                            const char *found, const char *accepted, const char *next)
{
	if (node->kind != JSON_REFUSED)
		add_fault(reader, node->line, node->column, path_of(reader, node, NULL), found,
		          accepted, next);
}

void json_read_refuse(struct json_reader *reader, const struct json_node *node,
                      const char *accepted, const char *next)
{
	json_read_refuse_found(reader, node, describe(reader, node), accepted, next);
}

static void refuse_key(struct json_reader *reader, const struct json_node *member,
                       const char *const *keys, size_t count)
{
	add_fault(reader, member->key_line, member->key_column, "key",
	          utf8_quote(reader->scratch, member->key, strlen(member->key)),
	          words_join(reader->scratch, keys, count),
	          words_advice(reader->scratch, member->key, keys, count, "remove the key"));
}

bool json_read_object(struct json_reader *reader, const struct json_node *node,
                      const char *const *keys, size_t count)
{
	if (node->kind != JSON_OBJECT) {
		const char *list = words_join(reader->scratch, keys, count);
		json_read_refuse(reader, node,
		                 arena_format(reader->scratch, "an object with the keys %s",
		                              list != NULL ? list : "of its kind"),
		                 "write an object in curly brackets");
		return false;
	}
	for (const struct json_node *member = node->first; member; member = member->next) {
		size_t i = 0;
		while (i < count && strcmp(member->key, keys[i]) != 0)
			i++;
		if (i == count)
			refuse_key(reader, member, keys, count);
	}
	return true;
}

bool json_read_array(struct json_reader *reader, const struct json_node *node, size_t lowest,
                     size_t highest)
{
	const char *accepted =
	    lowest == highest
		? arena_format(reader->scratch, "a list of %zu values", lowest)
		: arena_format(reader->scratch, "a list of %zu to %zu values", lowest, highest);
	if (node->kind != JSON_ARRAY) {
		json_read_refuse(reader, node, accepted, "write a list in square brackets");
		return false;
	}
	if (node->count >= lowest && node->count <= highest)
		return true;
	json_read_refuse_found(
	    reader, node, arena_format(reader->scratch, "a list of %zu", node->count), accepted,
	    node->count < lowest ? "add what is missing" : "shorten the list");
	return false;
}

const struct json_node *json_read_member(struct json_reader *reader, const struct json_node *object,
                                         const char *key, enum json_presence presence,
                                         const char *accepted)
{
	const struct json_node *member = json_tree_member(object, key);
	if (member == NULL && presence == JSON_REQUIRED)
		add_fault(reader, object->line, object->column, path_of(reader, object, key),
		          "nothing", accepted,
		          arena_format(reader->scratch, "add the key \"%s\"", key));
	return member != NULL && member->kind != JSON_REFUSED ? member : NULL;
}

static const char *range_text(const struct json_reader *reader, const struct json_rule *rule)
{
	if (rule->highest == JSON_ANY)
		return rule->lowest == -JSON_ANY ? "a number" : "a number that is not negative";
	return words_range(reader->scratch, rule->lowest, rule->highest, rule->open);
}

bool json_read_number(struct json_reader *reader, const struct json_node *object,
                      const struct json_rule *rule, double *out)
{
	const char *accepted = range_text(reader, rule);
	const struct json_node *member =
	    json_read_member(reader, object, rule->key, rule->presence, accepted);
	if (member == NULL)
		return false;
	if (member->kind != JSON_NUMBER) {
		json_read_refuse(reader, member, accepted, "write a number without quotes");
		return false;
	}
	double value = member->number;
	if (value < rule->lowest || value > rule->highest ||
	    (rule->open && value <= rule->lowest)) {
		json_read_refuse(reader, member, accepted, "correct the number");
		return false;
	}
	*out = value;
	return true;
}

bool json_read_count(struct json_reader *reader, const struct json_node *object, const char *key,
                     unsigned long long lowest, unsigned long long highest, unsigned long long *out)
{
	const char *accepted =
	    arena_format(reader->scratch, "a whole number from %llu to %llu", lowest, highest);
	const struct json_node *member =
	    json_read_member(reader, object, key, JSON_REQUIRED, accepted);
	if (member == NULL)
		return false;
	unsigned long long value;
	if (member->kind != JSON_NUMBER ||
	    !number_read_count(member->raw, member->raw_length, highest, &value) ||
	    value < lowest) {
		json_read_refuse(reader, member, accepted, "write a whole number");
		return false;
	}
	*out = value;
	return true;
}

bool json_read_truth(struct json_reader *reader, const struct json_node *object, const char *key,
                     enum json_presence presence, bool *out)
{
	const struct json_node *member =
	    json_read_member(reader, object, key, presence, "true or false");
	if (member == NULL)
		return false;
	if (member->kind != JSON_BOOLEAN) {
		json_read_refuse(reader, member, "true or false",
		                 "write true or false without quotes");
		return false;
	}
	*out = member->truth;
	return true;
}

static bool is_blank(const char *text)
{
	return text[strspn(text, " \t\n\r")] == '\0';
}

const char *json_read_string(struct json_reader *reader, const struct json_node *node,
                             bool may_be_blank, const char *accepted)
{
	if (node->kind != JSON_STRING) {
		json_read_refuse(reader, node, accepted, "write the text in double quotes");
		return NULL;
	}
	size_t length = strlen(node->text);
	if (utf8_first_bad(node->text, length) < length) {
		json_read_refuse(reader, node, "a text without control characters",
		                 "remove the control characters");
		return NULL;
	}
	if (!may_be_blank && is_blank(node->text)) {
		json_read_refuse(reader, node, accepted, "write the text");
		return NULL;
	}
	const char *copy = arena_copy(reader->arena, node->text, length);
	if (copy == NULL)
		refusal_memory(reader->file, reader->faults);
	return copy;
}

bool json_read_text(struct json_reader *reader, const struct json_node *object, const char *key,
                    enum json_presence presence, bool may_be_blank, const char **out)
{
	const char *accepted = may_be_blank ? "a text" : "a text that is not blank";
	const struct json_node *member = json_read_member(reader, object, key, presence, accepted);
	const char *text =
	    member != NULL ? json_read_string(reader, member, may_be_blank, accepted) : NULL;
	if (text == NULL)
		return false;
	*out = text;
	return true;
}
