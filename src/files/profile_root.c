/* SPDX-License-Identifier: GPL-3.0-or-later */

/* A profile's object as a whole: formats.md 5. */
#include <stdint.h>
#include <string.h>

#include "files/profile_read.h"
#include "files/session_notes.h"
#include "files/timestamp.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static const char *const root_keys[] = {
    "format",     "version", "tool",      "made",        "seed",
    "session",    "table",   "constants", "correlation", "balls",
    "conditions", "fit",     "source",    "slope",       "liveliness_with_speed",
    "rails",      "model_error", "player", "nap"};

static void read_tool(struct json_reader *reader, const struct json_node *node,
                      struct profile *profile)
{
	static const char *const keys[] = {"name", "version"};
	const char *name;
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	json_read_text(reader, node, "name", JSON_REQUIRED, false, &name);
	json_read_text(reader, node, "version", JSON_REQUIRED, false, &profile->tool_version);
}

static void read_made(struct json_reader *reader, const struct json_node *root,
                      struct profile *profile)
{
	if (json_read_text(reader, root, "made", JSON_REQUIRED, false, &profile->made) &&
	    !timestamp_is_date_time(profile->made))
		json_read_refuse(reader, json_tree_member(root, "made"),
		                 "a time as 2026-03-14T19:05:00+01:00 (RFC 3339)",
		                 "correct the time");
}

static void read_session(struct json_reader *reader, const struct json_node *node,
                         struct profile *profile)
{
	const char *names[SESSION_NOTES];
	for (size_t i = 0; i < SESSION_NOTES; i++)
		names[i] = session_note_name((enum session_note)i);
	if (!json_read_object(reader, node, names, SESSION_NOTES))
		return;
	for (size_t i = 0; i < SESSION_NOTES; i++) {
		if (!json_read_text(reader, node, names[i], JSON_OPTIONAL, true,
		                    &profile->notes[i]))
			continue;
		const char *accepted = session_note_check((enum session_note)i, profile->notes[i]);
		if (accepted != NULL)
			json_read_refuse(reader, json_tree_member(node, names[i]), accepted,
			                 "correct it or remove the key");
	}
}

void profile_read_root(struct json_reader *reader, const struct json_node *root, void *model)
{
	static const struct {
		const char *key;
		void (*read)(struct json_reader *, const struct json_node *, struct profile *);
	} parts[] = {
	    {"tool", read_tool},
	    {"session", read_session},
	    {"table", profile_read_table},
	    {"constants", profile_read_constants},
	    {"balls", profile_read_balls},
	    {"correlation", profile_read_correlation},
	    {"conditions", profile_read_conditions},
	    {"fit", profile_read_fit},
	    {"source", profile_read_sources},
	};
	struct profile *profile = model;
	unsigned long long seed = 0;
	if (!json_read_format(reader, root, "restpoint-profile") ||
	    !json_read_object(reader, root, root_keys, COUNT_OF(root_keys)))
		return;
	read_made(reader, root, profile);
	json_read_count(reader, root, "seed", 0, UINT64_MAX, &seed);
	profile->seed = seed;
	for (size_t i = 0; i < COUNT_OF(parts); i++) {
		const struct json_node *part = json_read_member(
		    reader, root, parts[i].key, JSON_REQUIRED,
		    strcmp(parts[i].key, "source") == 0 ? "a list [ ]" : "an object { }");
		if (part != NULL)
			parts[i].read(reader, part, profile);
	}
	profile_read_terms(reader, root, profile);
	profile_read_rails(reader, root, profile);
	profile_read_players(reader, root, profile);
	profile_read_model_errors(reader, root, profile);
}
