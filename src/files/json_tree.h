/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_JSON_TREE_H
#define RESTPOINT_FILES_JSON_TREE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"

/* A JSON text as a tree of plain structures, each with its place in the file. */

enum json_kind {
	JSON_NULL,
	JSON_BOOLEAN,
	JSON_NUMBER,
	JSON_STRING,
	JSON_ARRAY,
	JSON_OBJECT,
	JSON_REFUSED /* a number out of range: its fault was added, readers skip it silently */
};

struct json_node {
	enum json_kind kind;
	const char *key;             /* within an object, else NULL */
	size_t index;                /* within an array, from 0 */
	size_t line, column;         /* of the value, from 1; column counts characters */
	size_t key_line, key_column; /* of the key */
	const char *raw;             /* the value as written, not terminated */
	size_t raw_length;
	const char *text; /* of a string, escapes resolved */
	double number;    /* of a number */
	bool truth;       /* of a boolean */
	size_t count;     /* of an object or array: members */
	struct json_node *first, *next;
	const struct json_node *parent;
};

/* Reads a text strictly: RFC 8259 (see json_scan.h), no key twice in an object, at most
 * JSON_MEMBER_LIMIT keys in one, numbers within the range of a double. NULL when no tree could be
 * made; every fault is added to faults, also when there is a tree (then the file is refused, but
 * the rest can still be checked). The tree and its strings live in arena; raw points into bytes. */
#define JSON_MEMBER_LIMIT 1000
const struct json_node *json_tree_read(const char *file, const char *bytes, size_t length,
                                       struct arena *arena, struct fault_list *faults);

/* The member of that key, or NULL. */
const struct json_node *json_tree_member(const struct json_node *object, const char *key);

#endif
