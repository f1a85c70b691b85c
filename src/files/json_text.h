/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_JSON_TEXT_H
#define RESTPOINT_FILES_JSON_TEXT_H

#include <stdbool.h>

#include "base/text.h"

/* Writes JSON text: objects and arrays nest, commas and indents come by themselves, doubles print
 * so that they read back the same (not finite: null). */
struct json_writer {
	struct text *out;
	int depth;
	bool first[32]; /* nothing written yet at this depth */
	bool flat[32];  /* on one line */
};

void json_start(struct json_writer *writer, struct text *out);
/* key NULL inside an array or at the top. flat: the whole object or array stands on one line. */
void json_open_object(struct json_writer *writer, const char *key, bool flat);
void json_close_object(struct json_writer *writer);
void json_open_array(struct json_writer *writer, const char *key, bool flat);
void json_close_array(struct json_writer *writer);
void json_string(struct json_writer *writer, const char *key, const char *value);
void json_number(struct json_writer *writer, const char *key, double value);
void json_count(struct json_writer *writer, const char *key, unsigned long long value);
void json_boolean(struct json_writer *writer, const char *key, bool value);
/* A value that is JSON text already, as it stands but for line ends behind it. */
void json_verbatim(struct json_writer *writer, const char *key, const char *value);

#endif
