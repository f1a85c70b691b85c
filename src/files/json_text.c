/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/json_text.h"

#include <stdint.h>
#include <string.h>

#include "base/number.h"
#include "files/utf8.h"

#define DEPTH_LIMIT ((int)(sizeof((struct json_writer *)0)->first))

void json_start(struct json_writer *writer, struct text *out)
{
	memset(writer, 0, sizeof *writer);
	writer->out = out;
	writer->first[0] = true;
}

/* The escapes that RFC 8259 asks for; bytes that are no UTF-8 become U+FFFD, for JSON text must
 * be UTF-8 and a path need not. */
static void write_text(struct text *out, const char *value)
{
	size_t left = strlen(value);
	text_add(out, "\"");
	while (left > 0) {
		uint32_t code = 0;
		size_t step = utf8_sequence(value, left, &code);
		if (step == 0) {
			text_add(out, "\xEF\xBF\xBD");
			step = 1;
		} else if (code == '"' || code == '\\') {
			text_print(out, "\\%c", (char)code);
		} else if (code == '\n') {
			text_add(out, "\\n");
		} else if (code == '\t') {
			text_add(out, "\\t");
		} else if (utf8_is_control(code)) {
			text_print(out, "\\u%04x", (unsigned)code);
		} else {
			text_add_bytes(out, value, step);
		}
		value += step;
		left -= step;
	}
	text_add(out, "\"");
}

static void break_line(struct json_writer *writer)
{
	text_add(writer->out, "\n");
	for (int i = 0; i < writer->depth; i++)
		text_add(writer->out, "  ");
}

/* Writes what stands before a value: comma, line break or blank, and the key. */
static void begin_value(struct json_writer *writer, const char *key)
{
	int depth = writer->depth;
	if (depth > 0) {
		if (!writer->first[depth])
			text_add(writer->out, writer->flat[depth] ? ", " : ",");
		else if (writer->flat[depth] && key != NULL)
			text_add(writer->out, " ");
		if (!writer->flat[depth])
			break_line(writer);
	}
	writer->first[depth] = false;
	if (key != NULL) {
		write_text(writer->out, key);
		text_add(writer->out, ": ");
	}
}

static void open_level(struct json_writer *writer, const char *key, bool flat, const char *bracket)
{
	begin_value(writer, key);
	text_add(writer->out, bracket);
	if (writer->depth + 1 >= DEPTH_LIMIT) { /* a defect of the caller: give no wrong text */
		writer->out->failed = true;
		return;
	}
	bool inherited = writer->depth > 0 && writer->flat[writer->depth];
	writer->depth++;
	writer->first[writer->depth] = true;
	writer->flat[writer->depth] = flat || inherited;
}

static void close_level(struct json_writer *writer, const char *bracket, const char *padding)
{
	if (writer->depth == 0) {
		writer->out->failed = true;
		return;
	}
	bool empty = writer->first[writer->depth], flat = writer->flat[writer->depth];
	writer->depth--;
	if (!empty && flat)
		text_add(writer->out, padding);
	else if (!empty)
		break_line(writer);
	text_add(writer->out, bracket);
	if (writer->depth == 0)
		text_add(writer->out, "\n");
}

void json_open_object(struct json_writer *writer, const char *key, bool flat)
{
	open_level(writer, key, flat, "{");
}

void json_close_object(struct json_writer *writer)
{
	close_level(writer, "}", " ");
}

void json_open_array(struct json_writer *writer, const char *key, bool flat)
{
	open_level(writer, key, flat, "[");
}

void json_close_array(struct json_writer *writer)
{
	close_level(writer, "]", "");
}

void json_string(struct json_writer *writer, const char *key, const char *value)
{
	begin_value(writer, key);
	write_text(writer->out, value);
}

void json_number(struct json_writer *writer, const char *key, double value)
{
	char number[NUMBER_SIZE];
	number_print(value, number);
	begin_value(writer, key);
	text_add(writer->out, number);
}

void json_count(struct json_writer *writer, const char *key, unsigned long long value)
{
	begin_value(writer, key);
	text_print(writer->out, "%llu", value);
}

void json_boolean(struct json_writer *writer, const char *key, bool value)
{
	begin_value(writer, key);
	text_add(writer->out, value ? "true" : "false");
}

void json_verbatim(struct json_writer *writer, const char *key, const char *value)
{
	size_t length = strlen(value);

	while (length > 0 && value[length - 1] == '\n')
		length--;
	begin_value(writer, key);
	text_add_bytes(writer->out, value, length);
}
