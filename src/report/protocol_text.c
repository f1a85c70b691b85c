/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/protocol_text.h"

#include <string.h>

#include "files/json_text.h"
#include "report/paragraph.h"
#include "report/protocol_words.h"

#define FACT_WIDTH 10

int protocol_strokes(const struct protocol *protocol)
{
	int strokes = 0;

	for (size_t i = 0; i < protocol->shot_count; i++)
		strokes += protocol->shots[i].tries;
	return strokes;
}

/* A text of which nothing would be seen. */
static bool is_blank(const char *words)
{
	return words[strspn(words, " \t\n")] == '\0';
}

/* Prints the words as one fact and empties them for the next. */
static void print_fact(struct text *out, const char *name, struct text *words)
{
	paragraph_fact(out, name, FACT_WIDTH, text_bytes(words));
	out->failed = out->failed || words->failed;
	text_free(words);
}

static void print_places(const struct shot_design *shot, struct text *out)
{
	const char *name = "place";
	struct text words = {0};

	for (int role = 0; role < BALL_ROLES; role++) {
		if (!shot->place[role].present)
			continue;
		text_print(&words, "%s: ", protocol_words_ball(role));
		protocol_words_place(&shot->place[role], &words);
		print_fact(out, name, &words);
		name = "";
	}
}

static void print_readings(const struct shot_design *shot, struct text *out)
{
	const char *name = "read";
	struct text words = {0};

	for (int q = 0; q < QUANTITY_COUNT; q++) {
		if ((shot->measure & (1u << q)) == 0 || quantity_at(q).kind == QUANTITY_WATCH)
			continue;
		protocol_words_quantity(q, &words);
		text_print(&words, " (%s)", quantity_name(q));
		print_fact(out, name, &words);
		name = "";
	}
}

static void print_intervals(const struct shot_design *shot, struct text *out)
{
	struct text words = {0};

	for (int i = 0; i < shot->watch_count; i++) {
		text_add(&words, "from ");
		protocol_words_moment(shot->watch[i].from, &words);
		text_add(&words, " to ");
		protocol_words_moment(shot->watch[i].to, &words);
		text_print(&words, " (watch%d)", i + 1);
		print_fact(out, i == 0 ? "time" : "", &words);
	}
}

void protocol_text_shot(const struct shot_design *shot, size_t number, struct text *out)
{
	struct text words = {0};

	paragraph_print(out, 0, 4, "%zu. %s (shot %s), %d %s", number,
	                is_blank(shot->title) ? shot->key : shot->title, shot->key, shot->tries,
	                shot->tries == 1 ? "try" : "tries");
	if (!is_blank(shot->how))
		paragraph_fact(out, "how", FACT_WIDTH, shot->how);
	print_places(shot, out);
	protocol_words_aim(&shot->aim, &words);
	print_fact(out, "aim", &words);
	protocol_words_launch(&shot->launch, &words);
	print_fact(out, shot->launch.by_ramp ? "release" : "strike", &words);
	print_readings(shot, out);
	print_intervals(shot, out);
}

/* What it takes: minutes, strokes, shots where they are told, kit. */
static void add_effort(const struct protocol *protocol, bool with_shots, struct text *out)
{
	if (protocol->minutes > 0) {
		protocol_words_amount(protocol->minutes, "minute", out);
		text_add(out, ", ");
	}
	protocol_words_amount(protocol_strokes(protocol), "stroke", out);
	if (with_shots) {
		text_add(out, " in ");
		protocol_words_amount((double)protocol->shot_count, "shot", out);
	}
	text_add(out, "; kit: ");
	protocol_words_kit(protocol->kit, out);
}

void protocol_text_print(const struct protocol *protocol, struct text *out)
{
	struct text words = {0};

	paragraph_print(out, 0, 2, "%s: %s", protocol->name, protocol->title);
	if (!is_blank(protocol->purpose))
		paragraph_fact(out, "purpose", FACT_WIDTH, protocol->purpose);
	add_effort(protocol, true, &words);
	print_fact(out, "takes", &words);
	paragraph_fact(out, "places", FACT_WIDTH,
	               "in diamonds: long 0 at the head nose to 8 at the foot nose, short 0 at the left "
	               "nose to 4 at the right nose, seen from the head; always the ball's centre");
	for (size_t i = 0; i < protocol->shot_count; i++) {
		text_add(out, "\n");
		protocol_text_shot(&protocol->shots[i], i + 1, out);
	}
}

void protocol_list_text(const struct protocol *const *protocols, size_t count, const char *folder,
                        struct text *out)
{
	struct text words = {0};

	for (size_t i = 0; i < count; i++) {
		const struct protocol *protocol = protocols[i];

		paragraph_print(out, 0, 2, "%s: %s", protocol->name, protocol->title);
		add_effort(protocol, false, &words);
		paragraph_add(out, 4, 4, text_bytes(&words));
		paragraph_add(out, 4, 4, protocol->purpose);
		text_free(&words);
	}
	text_print(out, "%zu protocol%s in %s\n", count, count == 1 ? "" : "s", folder);
}

static void write_protocol(const struct protocol *protocol, struct json_writer *writer)
{
	const char *names[5];
	size_t kit = protocol_words_kit_names(protocol->kit, names);

	json_open_object(writer, NULL, false);
	json_string(writer, "name", protocol->name);
	json_string(writer, "title", protocol->title);
	json_string(writer, "purpose", protocol->purpose);
	if (protocol->minutes > 0)
		json_number(writer, "minutes", protocol->minutes);
	json_open_array(writer, "kit", true);
	for (size_t i = 0; i < kit; i++)
		json_string(writer, NULL, names[i]);
	json_close_array(writer);
	json_count(writer, "shots", protocol->shot_count);
	json_count(writer, "strokes", (unsigned long long)protocol_strokes(protocol));
	json_string(writer, "file", protocol->file);
	json_close_object(writer);
}

void protocol_list_json(const struct protocol *const *protocols, size_t count, const char *folder,
                        struct text *out)
{
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-protocols");
	json_count(&writer, "version", 1);
	json_string(&writer, "folder", folder);
	json_open_array(&writer, "protocols", false);
	for (size_t i = 0; i < count; i++)
		write_protocol(protocols[i], &writer);
	json_close_array(&writer);
	json_close_object(&writer);
}
