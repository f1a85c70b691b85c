/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "player" in a profile: how each player of each session strikes (formats.md 5). */
#include "files/profile_read.h"
#include "files/refusal.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define SESSIONS_MOST 100000
#define TRIES_MOST 1000000000

/* Limits of the values: wide, for a player who misses all is a player too. */
static const double spread_highest[PLAYER_SPREADS] = {10, 180, 2, 2};

static const struct {
	double lowest, highest;
	bool open;
} offset_limits[PLAYER_OFFSETS] = {{0, 1000, true}, {-2, 2, false}, {-2, 2, false}};

/* low95 and high95, no lower than `lowest`. */
static void read_ends(struct json_reader *reader, const struct json_node *node, double lowest,
                      double *low95, double *high95)
{
	struct json_rule low = {"low95", JSON_REQUIRED, lowest, JSON_ANY, false};
	struct json_rule high = {"high95", JSON_REQUIRED, lowest, JSON_ANY, false};
	bool both = json_read_number(reader, node, &low, low95);
	both = json_read_number(reader, node, &high, high95) && both;
	if (both && *low95 > *high95)
		json_read_refuse(reader, json_tree_member(node, "high95"),
		                 "a number not below low95", "exchange low95 and high95");
}

/* A spread that is not there was not told by enough tries. */
static void read_spread(struct json_reader *reader, const struct json_node *object,
                        enum player_spread which, struct profile_spread *out)
{
	static const char *const keys[] = {"value", "low95", "high95", "tries"};
	const struct json_node *node = json_tree_member(object, player_spread_name(which));
	struct json_rule value = {"value", JSON_REQUIRED, 0, spread_highest[which], false};
	unsigned long long tries = 0;
	if (node == NULL || !json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	out->told = true;
	json_read_number(reader, node, &value, &out->value);
	read_ends(reader, node, 0, &out->low95, &out->high95);
	json_read_count(reader, node, "tries", 2, TRIES_MOST, &tries);
	out->tries = (size_t)tries;
}

static void read_offset(struct json_reader *reader, const struct json_node *object,
                        enum player_offset which, struct interval *out)
{
	static const char *const keys[] = {"value", "standard_error", "low95", "high95"};
	const struct json_node *node =
	    json_read_member(reader, object, player_offset_name(which), JSON_REQUIRED,
	                     "an object with the keys value, standard_error, low95, high95");
	struct json_rule value = {"value", JSON_REQUIRED, offset_limits[which].lowest,
	                          offset_limits[which].highest, offset_limits[which].open};
	struct json_rule error = {"standard_error", JSON_REQUIRED, 0, JSON_ANY, false};
	if (node == NULL || !json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	json_read_number(reader, node, &value, &out->value);
	json_read_number(reader, node, &error, &out->standard_error);
	read_ends(reader, node, offset_limits[which].open ? 0 : -JSON_ANY, &out->low95,
	          &out->high95);
}

static void read_player(struct json_reader *reader, const struct json_node *node,
                        struct profile_player *player)
{
	const char *keys[2 + PLAYER_SPREADS + PLAYER_OFFSETS] = {"player", "file"};
	for (int k = 0; k < PLAYER_SPREADS; k++)
		keys[2 + k] = player_spread_name((enum player_spread)k);
	for (int k = 0; k < PLAYER_OFFSETS; k++)
		keys[2 + PLAYER_SPREADS + k] = player_offset_name((enum player_offset)k);
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	json_read_text(reader, node, "player", JSON_REQUIRED, true, &player->name);
	json_read_text(reader, node, "file", JSON_REQUIRED, true, &player->file);
	for (int k = 0; k < PLAYER_SPREADS; k++)
		read_spread(reader, node, (enum player_spread)k, &player->spread[k]);
	for (int k = 0; k < PLAYER_OFFSETS; k++)
		read_offset(reader, node, (enum player_offset)k, &player->offset[k]);
}

void profile_read_players(struct json_reader *reader, const struct json_node *root,
                          struct profile *profile)
{
	static const char *const keys[] = {"sessions"};
	const struct json_node *node = json_tree_member(root, "player"), *list;
	if (node == NULL || !json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	list = json_read_member(reader, node, "sessions", JSON_REQUIRED,
	                        "a list [ ] with an object for each player of each session");
	if (list == NULL || !json_read_array(reader, list, 1, SESSIONS_MOST))
		return;
	profile->players = arena_allocate(reader->arena, list->count * sizeof *profile->players);
	if (profile->players == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	for (const struct json_node *item = list->first; item != NULL; item = item->next)
		read_player(reader, item, &profile->players[profile->player_count++]);
}
