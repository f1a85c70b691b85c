/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_JSON_SCAN_H
#define RESTPOINT_FILES_JSON_SCAN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"
#include "base/status.h"

/* Checks that bytes are JSON by the letter of RFC 8259 and notes where every key and value
 * stands. The library that builds the tree is more lenient and knows no places. */

/* Limits that no file of ours comes near; they bound the work that a hostile file causes. */
#define JSON_DEPTH_LIMIT 32
#define JSON_MARK_LIMIT 200000
#define JSON_NUMBER_LENGTH 60

/* One key or value; they come in the order of the text, an object or array before its content. */
struct json_mark {
	bool key;
	size_t offset, length; /* bytes of the text, brackets and quotes included */
	size_t line, column;   /* of its first character, from 1 */
};

struct json_marks {
	struct json_mark *items;
	size_t count, capacity;
};

/* Reads the text; a byte order mark before it is allowed. Refused, with one fault at its place:
 * what RFC 8259 does not allow, bytes that are not UTF-8, a surrogate without its partner, \u0000,
 * a number of more than JSON_NUMBER_LENGTH characters, and a text beyond the limits. */
enum status json_scan(const char *file, const char *bytes, size_t length, struct arena *arena,
                      struct json_marks *marks, struct fault_list *faults);

#endif
