/* SPDX-License-Identifier: GPL-3.0-or-later */

/* One shot of a protocol: formats.md 4. */
#include <string.h>

#include "files/protocol_read.h"
#include "files/utf8.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define TRIES_HIGHEST 1000

/* A key stands in the first cell of a row and in messages. */
static bool is_good_key(const char *key)
{
	static const char *const missing[] = {"-", "n/a"};
	size_t length = strlen(key);
	if (key[0] == '#' || length > 64 || !utf8_is_plain(key))
		return false;
	if (key[0] == ' ' || key[length - 1] == ' ')
		return false;
	for (size_t i = 0; i < COUNT_OF(missing); i++)
		if (strcmp(key, missing[i]) == 0)
			return false;
	return true;
}

static void read_key(struct json_reader *reader, const struct json_node *node,
                     struct shot_design *shot)
{
	const char *key;
	if (!json_read_text(reader, node, "shot", JSON_REQUIRED, false, &key))
		return;
	if (!is_good_key(key)) {
		json_read_refuse(
		    reader, json_tree_member(node, "shot"),
		    "a key of one line, at most 64 bytes, without # in front, blanks at its "
		    "ends, and neither - nor n/a",
		    "choose another key");
		return;
	}
	shot->key = reader->shot = key;
}

static const struct json_node *part(struct json_reader *reader, const struct json_node *node,
                                    const char *key)
{
	return json_read_member(reader, node, key, JSON_REQUIRED,
	                        strcmp(key, "measure") == 0 ? "a list [ ]" : "an object { }");
}

static void read_parts(struct json_reader *reader, const struct json_node *node,
                       struct shot_design *shot)
{
	const struct json_node *place = part(reader, node, "place");
	const struct json_node *aim = part(reader, node, "aim");
	const struct json_node *launch = part(reader, node, "launch");
	const struct json_node *watch = json_tree_member(node, "watch");
	const struct json_node *measure = part(reader, node, "measure");
	if (place != NULL)
		protocol_read_place(reader, place, shot);
	if (aim != NULL)
		protocol_read_aim(reader, aim, shot);
	if (launch != NULL)
		protocol_read_launch(reader, launch, shot);
	if (watch != NULL)
		protocol_read_watch(reader, watch, shot);
	if (measure != NULL)
		protocol_read_measure(reader, measure, shot);
}

void protocol_read_shot(struct json_reader *reader, const struct json_node *node,
                        struct shot_design *shot)
{
	static const char *const keys[] = {"shot",   "title", "tries",   "place", "aim",
	                                   "launch", "watch", "measure", "how"};
	const struct json_node *base = reader->base;
	unsigned long long tries = 1;
	shot->key = shot->title = shot->how = "";
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	read_key(reader, node, shot);
	if (reader->shot != NULL)
		reader->base = node;
	json_read_text(reader, node, "title", JSON_OPTIONAL, true, &shot->title);
	json_read_text(reader, node, "how", JSON_OPTIONAL, true, &shot->how);
	json_read_count(reader, node, "tries", 1, TRIES_HIGHEST, &tries);
	shot->tries = (int)tries;
	read_parts(reader, node, shot);
	reader->base = base;
	reader->shot = NULL;
}
