/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/json_tree.h"

/* The only file that uses cJSON. */
#include <cjson/cJSON.h>
#include <string.h>

#include "base/number.h"
#include "files/json_scan.h"
#include "files/refusal.h"
#include "files/utf8.h"

struct builder {
	const char *file;
	const char *bytes;
	struct arena *arena;
	const struct json_marks *marks;
	size_t next; /* mark of the next key or value */
	struct fault_list *faults;
};

static struct json_node *build(struct builder *builder, const cJSON *item,
                               const struct json_node *parent);

static void add_fault(const struct builder *builder, const struct json_mark *mark,
                      const char *found, const char *accepted, const char *next)
{
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = builder->file,
	                      .line = mark->line,
	                      .column = mark->column,
	                      .what = "JSON",
	                      .found = found,
	                      .accepted = accepted,
	                      .next = next};
	fault_list_add(builder->faults, &fault);
}

static enum json_kind kind_of(const cJSON *item)
{
	if (cJSON_IsObject(item))
		return JSON_OBJECT;
	if (cJSON_IsArray(item))
		return JSON_ARRAY;
	if (cJSON_IsString(item))
		return JSON_STRING;
	if (cJSON_IsNumber(item))
		return JSON_NUMBER;
	return cJSON_IsBool(item) ? JSON_BOOLEAN : JSON_NULL;
}

/* The mark that comes next, when it is of the kind expected. */
static const struct json_mark *take_mark(struct builder *builder, bool key)
{
	if (builder->next >= builder->marks->count)
		return NULL;
	const struct json_mark *mark = &builder->marks->items[builder->next];
	if (mark->key != key)
		return NULL;
	builder->next++;
	return mark;
}

/* Adds a fault when a member before this one has the same key. */
static void check_key_twice(const struct builder *builder, const struct json_node *object,
                            const char *key, const struct json_mark *mark)
{
	const struct json_node *other = json_tree_member(object, key);
	if (other == NULL)
		return;
	const char *found = utf8_quote(builder->arena, key, strlen(key));
	add_fault(builder, mark,
	          arena_format(builder->arena, "%s again, first at %zu:%zu",
	                       found != NULL ? found : "", other->key_line, other->key_column),
	          "each key once", "remove one of the two");
}

static bool build_member(struct builder *builder, const cJSON *item, struct json_node *parent,
                         struct json_node ***tail)
{
	const struct json_mark *mark = NULL;
	if (parent->kind == JSON_OBJECT) {
		mark = take_mark(builder, true);
		if (mark == NULL)
			return false;
		check_key_twice(builder, parent, item->string, mark);
	}
	struct json_node *node = build(builder, item, parent);
	if (node == NULL)
		return false;
	if (mark != NULL) {
		node->key = arena_copy(builder->arena, item->string, strlen(item->string));
		node->key_line = mark->line;
		node->key_column = mark->column;
		if (node->key == NULL)
			return false;
	}
	node->index = parent->count++;
	**tail = node;
	*tail = &node->next;
	return true;
}

static bool build_members(struct builder *builder, const cJSON *item, struct json_node *node,
                          const struct json_mark *mark)
{
	struct json_node **tail = &node->first;
	for (const cJSON *member = item->child; member != NULL; member = member->next) {
		if (node->kind == JSON_OBJECT && node->count >= JSON_MEMBER_LIMIT) {
			add_fault(builder, mark, "more than 1000 keys", "at most 1000 keys",
			          "check that this is the file you mean");
			return false;
		}
		if (!build_member(builder, member, node, &tail))
			return false;
	}
	return true;
}

/* Numbers are read from the text: the library's reading depends on the locale. */
static void read_number(const struct builder *builder, struct json_node *node,
                        const struct json_mark *mark)
{
	if (number_read(node->raw, node->raw_length, &node->number))
		return;
	add_fault(builder, mark, utf8_quote(builder->arena, node->raw, node->raw_length),
	          "a number that a double holds, up to 1.7e308", "correct the number");
	node->kind = JSON_REFUSED;
}

static struct json_node *build(struct builder *builder, const cJSON *item,
                               const struct json_node *parent)
{
	const struct json_mark *mark = take_mark(builder, false);
	struct json_node *node = arena_allocate(builder->arena, sizeof *node);
	if (mark == NULL || node == NULL)
		return NULL;
	node->kind = kind_of(item);
	node->parent = parent;
	node->line = mark->line;
	node->column = mark->column;
	node->raw = builder->bytes + mark->offset;
	node->raw_length = mark->length;
	node->truth = cJSON_IsTrue(item) != 0;
	if (node->kind == JSON_NUMBER)
		read_number(builder, node, mark);
	if (node->kind == JSON_STRING) {
		node->text =
		    arena_copy(builder->arena, item->valuestring, strlen(item->valuestring));
		return node->text != NULL ? node : NULL;
	}
	return build_members(builder, item, node, mark) ? node : NULL;
}

static const struct json_node *build_all(struct builder *builder, size_t length)
{
	const char *end = NULL;
	cJSON *tree = cJSON_ParseWithLengthOpts(builder->bytes, length, &end, 0);
	size_t before = builder->faults->count;
	struct json_node *root = tree != NULL ? build(builder, tree, NULL) : NULL;
	cJSON_Delete(tree);
	if (root == NULL && builder->faults->count == before)
		refusal_memory(builder->file, builder->faults);
	return root;
}

const struct json_node *json_tree_read(const char *file, const char *bytes, size_t length,
                                       struct arena *arena, struct fault_list *faults)
{
	struct json_marks marks = {0};
	if (json_scan(file, bytes, length, arena, &marks, faults) != STATUS_OK)
		return NULL;
	struct builder builder = {
	    .file = file, .bytes = bytes, .arena = arena, .marks = &marks, .faults = faults};
	return build_all(&builder, length);
}

const struct json_node *json_tree_member(const struct json_node *object, const char *key)
{
	for (const struct json_node *member = object->first; member != NULL; member = member->next)
		if (member->key != NULL && strcmp(member->key, key) == 0)
			return member;
	return NULL;
}
