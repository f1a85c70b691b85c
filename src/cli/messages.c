/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/messages.h"

#include <stdarg.h>
#include <stdio.h>

#include "base/text.h"
#include "files/json_text.h"
#include "report/paragraph.h"

#define MEMORY_OUT "memory is out; close other programs and try again"

/* Writes to standard error and leaves it at that: there is nowhere to report a failure to. */
static void say(const struct text *text)
{
	if (text->failed)
		fputs("restpoint: " MEMORY_OUT "\n", stderr);
	else
		fwrite(text_bytes(text), 1, text->length, stderr);
	fflush(stderr);
}

static void add_name(const struct messages *messages, struct text *out)
{
	text_add(out, "restpoint");
	if (messages->command != NULL)
		text_print(out, " %s", messages->command);
	text_add(out, ": ");
}

static void open_object(const struct messages *messages, const char *level, enum status status,
                        const char *words, struct json_writer *writer, struct text *out)
{
	json_start(writer, out);
	json_open_object(writer, NULL, true);
	json_string(writer, "format", "restpoint-message");
	json_count(writer, "version", 1);
	json_string(writer, "level", level);
	json_string(writer, "status", status_name(status));
	if (messages->command != NULL)
		json_string(writer, "command", messages->command);
	json_string(writer, "message", words);
}

static void end_line(struct text *out)
{
	if (out->length == 0 || out->bytes[out->length - 1] != '\n')
		text_add(out, "\n");
}

static void say_words(const struct messages *messages, const char *level, enum status status,
                      const char *words, const char *usage)
{
	struct json_writer writer;
	struct text out = {0};

	if (messages->json) {
		open_object(messages, level, status, words, &writer, &out);
		if (usage != NULL)
			json_string(&writer, "usage", usage);
		json_close_object(&writer);
		end_line(&out);
	} else {
		add_name(messages, &out);
		text_print(&out, "%s\n", words);
		if (usage != NULL)
			paragraph_print(&out, 0, 7, "Usage: %s", usage);
	}
	say(&out);
	text_free(&out);
}

static void say_format(const struct messages *messages, const char *level, enum status status,
                       const char *format, va_list arguments)
{
	char words[2048]; /* longer messages are cut */

	if (vsnprintf(words, sizeof(words), format, arguments) < 0)
		return;
	say_words(messages, level, status, words, NULL);
}

void messages_note(const struct messages *messages, const char *format, ...)
{
	va_list arguments;

	va_start(arguments, format);
	say_format(messages, "note", STATUS_OK, format, arguments);
	va_end(arguments);
}

void messages_error(const struct messages *messages, enum status status, const char *format, ...)
{
	va_list arguments;

	va_start(arguments, format);
	say_format(messages, "error", status, format, arguments);
	va_end(arguments);
}

void messages_usage(const struct messages *messages, const char *usage, const char *complaint)
{
	say_words(messages, "error", STATUS_USAGE, complaint, usage);
}

static void add_member(struct json_writer *writer, const char *key, const char *value)
{
	if (value != NULL)
		json_string(writer, key, value);
}

static void say_fault_json(const struct messages *messages, const struct fault *fault,
                           const char *sentence)
{
	struct json_writer writer;
	struct text out = {0};

	open_object(messages, "error", fault->status, sentence, &writer, &out);
	add_member(&writer, "file", fault->file);
	if (fault->line > 0)
		json_count(&writer, "line", fault->line);
	if (fault->column > 0)
		json_count(&writer, "column", fault->column);
	add_member(&writer, "shot", fault->shot);
	add_member(&writer, "what", fault->what);
	add_member(&writer, "found", fault->found);
	add_member(&writer, "accepted", fault->accepted);
	add_member(&writer, "next", fault->next);
	json_close_object(&writer);
	end_line(&out);
	say(&out);
	text_free(&out);
}

static void say_fault(const struct messages *messages, const struct fault *fault)
{
	struct text sentence = {0}, line = {0};

	fault_format(fault, &sentence);
	if (messages->json) {
		say_fault_json(messages, fault, text_bytes(&sentence));
	} else {
		if (fault->file == NULL)
			add_name(messages, &line);
		text_print(&line, "%s\n", text_bytes(&sentence));
		line.failed = line.failed || sentence.failed;
		say(&line);
	}
	text_free(&sentence);
	text_free(&line);
}

void messages_faults(const struct messages *messages, const struct fault_list *faults)
{
	for (size_t i = 0; i < faults->count; i++)
		say_fault(messages, &faults->items[i]);
	if (faults->memory_out != 0)
		messages_error(messages, STATUS_SYSTEM, "some faults are not listed: %s", MEMORY_OUT);
	if (faults->count > 1)
		messages_note(messages, "%zu faults", faults->count);
}
