/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/protocol_file.h"

#include <string.h>

#include "files/disk.h"
#include "files/protocol_read.h"
#include "files/refusal.h"
#include "files/utf8.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define SHOTS_HIGHEST 500

static const char *const kit_words[] = {"tape", "watch", "sound", "ramp", "video"};

static void read_kit(struct json_reader *reader, const struct json_node *root,
                     struct protocol *protocol)
{
	const struct json_node *kit = json_tree_member(root, "kit");
	if (kit == NULL || !json_read_array(reader, kit, 0, COUNT_OF(kit_words)))
		return;
	for (const struct json_node *item = kit->first; item != NULL; item = item->next) {
		size_t i = 0;
		while (i < COUNT_OF(kit_words) &&
		       !(item->kind == JSON_STRING && strcmp(item->text, kit_words[i]) == 0))
			i++;
		if (i == COUNT_OF(kit_words))
			json_read_refuse_word(reader, item, kit_words, COUNT_OF(kit_words));
		else if ((protocol->kit & 1u << i) != 0)
			json_read_refuse(reader, item, "each word once", "remove one of the two");
		else
			protocol->kit |= 1u << i;
	}
}

/* A name must not look like a path, for `#protocol` would take it for one. */
static void read_name(struct json_reader *reader, const struct json_node *root,
                      struct protocol *protocol)
{
	protocol->name = "";
	if (!json_read_text(reader, root, "name", JSON_REQUIRED, false, &protocol->name))
		return;
	size_t length = strlen(protocol->name);
	bool path = strchr(protocol->name, '/') != NULL ||
	            (length >= 5 && strcmp(protocol->name + length - 5, ".json") == 0);
	if (path || !utf8_is_plain(protocol->name))
		json_read_refuse(reader, json_tree_member(root, "name"),
		                 "a name of one line without / and not ending in .json",
		                 "choose another name");
}

/* What formats.md 4 allows only once among all shots. */
static void check_pair(struct json_reader *reader, const struct json_node *node,
                       const struct shot_design *shot, const struct shot_design *earlier)
{
	reader->shot = shot->key[0] != '\0' ? shot->key : NULL;
	reader->base = reader->shot != NULL ? node : NULL;
	if (shot->key[0] != '\0' && strcmp(shot->key, earlier->key) == 0)
		json_read_refuse(reader, json_tree_member(node, "shot"), "each key once",
		                 "give one of the two shots another key");
	const struct launch *here = &shot->launch, *there = &earlier->launch;
	if (here->ramp == NULL || there->ramp == NULL || strcmp(here->ramp, there->ramp) != 0)
		return;
	const struct json_node *launch = json_tree_member(node, "launch");
	const char *ramp = utf8_quote(reader->scratch, here->ramp, strlen(here->ramp));
	const char *accepted = arena_format(
	    reader->scratch,
	    "the values of shot %s for the ramp %s: speed_m_s %.15g, groove_deg %.15g, "
	    "group_spread %.15g",
	    earlier->key[0] != '\0' ? earlier->key : "(without key)", ramp != NULL ? ramp : "",
	    there->speed, there->groove_deg, there->group_spread);
	if (here->speed != there->speed || here->groove_deg != there->groove_deg ||
	    here->group_spread != there->group_spread)
		json_read_refuse_found(
		    reader, launch,
		    arena_format(reader->scratch,
		                 "speed_m_s %.15g, groove_deg %.15g, group_spread %.15g",
		                 here->speed, here->groove_deg, here->group_spread),
		    accepted, "make them equal or give this ramp another name");
}

/* Compares each shot with the first earlier one that shares its key or its ramp. */
static void check_shots(struct json_reader *reader, const struct json_node *shots,
                        const struct protocol *protocol)
{
	size_t i = 0;
	for (const struct json_node *node = shots->first; node != NULL; node = node->next, i++) {
		size_t before = reader->faults->count;
		for (size_t k = 0; k < i && reader->faults->count == before; k++)
			check_pair(reader, node, &protocol->shots[i], &protocol->shots[k]);
	}
	reader->shot = NULL;
	reader->base = NULL;
}

static void read_shots(struct json_reader *reader, const struct json_node *root,
                       struct protocol *protocol)
{
	const struct json_node *shots =
	    json_read_member(reader, root, "shots", JSON_REQUIRED, "a list [ ] of shots");
	if (shots == NULL || !json_read_array(reader, shots, 1, SHOTS_HIGHEST))
		return;
	protocol->shots = arena_allocate(reader->arena, shots->count * sizeof *protocol->shots);
	if (protocol->shots == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	for (const struct json_node *node = shots->first; node != NULL; node = node->next)
		protocol_read_shot(reader, node, &protocol->shots[protocol->shot_count++]);
	check_shots(reader, shots, protocol);
}

static void read_protocol(struct json_reader *reader, const struct json_node *root, void *model)
{
	static const char *const keys[] = {"format",  "version", "name", "title",
	                                   "purpose", "minutes", "kit",  "shots"};
	static const struct json_rule minutes = {"minutes", JSON_OPTIONAL, 0, 1440, true};
	struct protocol *protocol = model;
	if (!json_read_format(reader, root, "restpoint-protocol") ||
	    !json_read_object(reader, root, keys, COUNT_OF(keys)))
		return;
	read_name(reader, root, protocol);
	protocol->title = protocol->purpose = "";
	json_read_text(reader, root, "title", JSON_OPTIONAL, true, &protocol->title);
	json_read_text(reader, root, "purpose", JSON_OPTIONAL, true, &protocol->purpose);
	json_read_number(reader, root, &minutes, &protocol->minutes);
	read_kit(reader, root, protocol);
	read_shots(reader, root, protocol);
}

enum status protocol_file_parse(const char *file, const char *bytes, size_t length,
                                struct protocol *protocol, struct fault_list *faults)
{
	memset(protocol, 0, sizeof *protocol);
	protocol->arena = arena_create();
	if (protocol->arena != NULL)
		protocol->file = arena_copy(protocol->arena, file, strlen(file));
	if (protocol->file == NULL) {
		protocol_free(protocol);
		return refusal_memory(file, faults);
	}
	disk_sha256(bytes, length, protocol->sha256);
	enum status status = json_read_document(file, bytes, length, protocol->arena, read_protocol,
	                                        protocol, faults);
	if (status != STATUS_OK)
		protocol_free(protocol);
	return status;
}

enum status protocol_file_read(const char *path, struct protocol *protocol,
                               struct fault_list *faults)
{
	const char *bytes = NULL;
	size_t length = 0;
	memset(protocol, 0, sizeof *protocol);
	struct arena *content = arena_create();
	enum status status = content == NULL ? refusal_memory(path, faults)
	                                     : disk_read(path, content, &bytes, &length, faults);
	if (status == STATUS_OK)
		status = protocol_file_parse(path, bytes, length, protocol, faults);
	arena_free(content);
	return status;
}
