/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "fit" and "source" in a profile: formats.md 5. */
#include <string.h>

#include "files/profile_read.h"
#include "files/refusal.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define COUNT_HIGHEST 1000000000ULL
#define LIST_HIGHEST 100000

static void read_size(struct json_reader *reader, const struct json_node *node, const char *key,
                      unsigned long long lowest, size_t *out)
{
	unsigned long long count;
	if (json_read_count(reader, node, key, lowest, COUNT_HIGHEST, &count))
		*out = (size_t)count;
}

static void read_set_aside(struct json_reader *reader, const struct json_node *node,
                           struct profile *profile)
{
	static const char *const keys[] = {"file", "line", "shot", "reason"};
	const struct json_node *list =
	    json_read_member(reader, node, "set_aside", JSON_REQUIRED, "a list [ ] of strokes");
	if (list == NULL || !json_read_array(reader, list, 0, LIST_HIGHEST))
		return;
	profile->set_aside =
	    arena_allocate(reader->arena, list->count * sizeof *profile->set_aside);
	if (profile->set_aside == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	for (const struct json_node *item = list->first; item != NULL; item = item->next) {
		struct set_aside_row *row = &profile->set_aside[profile->set_aside_count++];
		if (!json_read_object(reader, item, keys, COUNT_OF(keys)))
			continue;
		json_read_text(reader, item, "file", JSON_REQUIRED, true, &row->file);
		read_size(reader, item, "line", 0, &row->line);
		json_read_text(reader, item, "shot", JSON_REQUIRED, false, &row->shot);
		json_read_text(reader, item, "reason", JSON_REQUIRED, true, &row->reason);
	}
}

void profile_read_fit(struct json_reader *reader, const struct json_node *node,
                      struct profile *profile)
{
	static const char *const keys[] = {"shots_used",         "set_aside", "chi_square",
	                                   "degrees_of_freedom", "scaled",    "stop_reason",
	                                   "lack_of_fit_p"};
	static const struct json_rule chi_square = {"chi_square", JSON_REQUIRED, 0, JSON_ANY,
	                                            false};
	static const struct json_rule freedom = {"degrees_of_freedom", JSON_REQUIRED, -JSON_ANY,
	                                         JSON_ANY, false};
	static const struct json_rule lack_of_fit = {"lack_of_fit_p", JSON_OPTIONAL, 0, 1, false};
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	read_size(reader, node, "shots_used", 0, &profile->shots_used);
	read_set_aside(reader, node, profile);
	json_read_number(reader, node, &chi_square, &profile->chi_square);
	json_read_number(reader, node, &freedom, &profile->degrees_of_freedom);
	json_read_truth(reader, node, "scaled", JSON_REQUIRED, &profile->scaled);
	json_read_text(reader, node, "stop_reason", JSON_REQUIRED, false, &profile->stop_reason);
	profile->has_lack_of_fit_p =
	    json_read_number(reader, node, &lack_of_fit, &profile->lack_of_fit_p);
}

/* 64 small hexadecimal digits, or nothing for what was made in memory. */
static void read_digest(struct json_reader *reader, const struct json_node *node, const char *key,
                        char out[65])
{
	const char *digest;
	if (!json_read_text(reader, node, key, JSON_REQUIRED, true, &digest))
		return;
	size_t length = strlen(digest);
	if ((length == 64 || length == 0) && strspn(digest, "0123456789abcdef") == length)
		memcpy(out, digest, length + 1);
	else
		json_read_refuse(reader, json_tree_member(node, key),
		                 "64 digits of 0 to 9 and a to f, or an empty text",
		                 "restore the digest that was written");
}

void profile_read_sources(struct json_reader *reader, const struct json_node *node,
                          struct profile *profile)
{
	static const char *const keys[] = {"file", "sha256", "protocol", "protocol_sha256"};
	if (!json_read_array(reader, node, 0, LIST_HIGHEST))
		return;
	profile->sources = arena_allocate(reader->arena, node->count * sizeof *profile->sources);
	if (profile->sources == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	for (const struct json_node *item = node->first; item != NULL; item = item->next) {
		struct profile_source *source = &profile->sources[profile->source_count++];
		if (!json_read_object(reader, item, keys, COUNT_OF(keys)))
			continue;
		json_read_text(reader, item, "file", JSON_REQUIRED, true, &source->file);
		read_digest(reader, item, "sha256", source->sha256);
		json_read_text(reader, item, "protocol", JSON_REQUIRED, true, &source->protocol);
		read_digest(reader, item, "protocol_sha256", source->protocol_sha256);
	}
}
