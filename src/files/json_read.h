/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_JSON_READ_H
#define RESTPOINT_FILES_JSON_READ_H

#include <float.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"
#include "files/json_tree.h"

/* Takes values out of a JSON tree and adds a fault with its place for each that is missing, of the
 * wrong type or out of range, so that one pass finds them all. */

struct json_reader {
	const char *file;
	const char *shot;             /* key of the shot being read, or NULL */
	const struct json_node *base; /* quantities are named by their path below this node */
	struct arena *arena;          /* receives the strings read */
	struct arena *scratch;        /* for messages */
	struct fault_list *faults;
};

enum json_presence { JSON_OPTIONAL, JSON_REQUIRED };

/* Largest double: as `highest` of a rule, no upper limit (then `lowest` is 0 or its negative). */
#define JSON_ANY DBL_MAX

/* A number's key and range. */
struct json_rule {
	const char *key;
	enum json_presence presence;
	double lowest, highest;
	bool open; /* `lowest` itself is refused */
};

/* Adds a fault at the value: what is accepted there and what to do. */
void json_read_refuse(struct json_reader *reader, const struct json_node *node,
                      const char *accepted, const char *next);

/* The same with other words for what was found. */
void json_read_refuse_found(struct json_reader *reader, const struct json_node *node,
                            const char *found, const char *accepted, const char *next);

/* True when the value is an object; its members with keys that are not in the list are refused. */
bool json_read_object(struct json_reader *reader, const struct json_node *node,
                      const char *const *keys, size_t count);

/* True when the value is an array of lowest to highest members. */
bool json_read_array(struct json_reader *reader, const struct json_node *node, size_t lowest,
                     size_t highest);

/* The member of that key. NULL when there is none (a fault when it is required, with the words
 * for what is accepted) and when its number was refused before. */
const struct json_node *json_read_member(struct json_reader *reader, const struct json_node *object,
                                         const char *key, enum json_presence presence,
                                         const char *accepted);

/* Member of a given type into *out; false, *out untouched, when it is not there or was refused.
 * A text holds no control characters but line feeds and tabs; blank is only spaces or nothing. */
bool json_read_number(struct json_reader *reader, const struct json_node *object,
                      const struct json_rule *rule, double *out);
bool json_read_count(struct json_reader *reader, const struct json_node *object, const char *key,
                     unsigned long long lowest, unsigned long long highest,
                     unsigned long long *out);
bool json_read_truth(struct json_reader *reader, const struct json_node *object, const char *key,
                     enum json_presence presence, bool *out);
bool json_read_text(struct json_reader *reader, const struct json_node *object, const char *key,
                    enum json_presence presence, bool may_be_blank, const char **out);

/* The text of a node itself, checked like json_read_text; NULL when refused. */
const char *json_read_string(struct json_reader *reader, const struct json_node *node,
                             bool may_be_blank, const char *accepted);

/* A member that is one of the words; *index receives its number in the list. */
bool json_read_word(struct json_reader *reader, const struct json_node *object, const char *key,
                    const char *const *words, size_t count, size_t *index);

/* Adds a fault that lists the words, with the nearest one as advice. */
void json_read_refuse_word(struct json_reader *reader, const struct json_node *node,
                           const char *const *words, size_t count);

/* Reads a whole file: builds the tree, calls `read` with the reader at its root, sorts the faults
 * by place. STATUS_OK only when no fault was added. Strings of the model go into arena. */
enum status json_read_document(const char *file, const char *bytes, size_t length,
                               struct arena *arena,
                               void (*read)(struct json_reader *reader,
                                            const struct json_node *root, void *model),
                               void *model, struct fault_list *faults);

/* Checks the members "format" and "version" of a file's object. False, with a fault, when the
 * file is of another format or of a version this program does not know. */
bool json_read_format(struct json_reader *reader, const struct json_node *root, const char *format);

#endif
