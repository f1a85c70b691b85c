/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/players_json.h"

#include <math.h>

static void write_interval(const char *key, double value, double low, double high,
                           struct json_writer *writer)
{
	json_open_object(writer, key, true);
	json_number(writer, "value", value);
	json_number(writer, "low95", low);
	json_number(writer, "high95", high);
}

static void write_player(const struct fit_player *player, struct json_writer *writer)
{
	json_string(writer, "player", player->name);
	json_count(writer, "file", player->input + 1);
	for (int k = 0; k < FIT_SPREADS; k++) {
		const struct fit_spread *spread = &player->spread[k];

		if (!spread->told)
			continue;
		write_interval(player_spread_name((enum player_spread)k), spread->value,
		               spread->low95, spread->high95, writer);
		json_count(writer, "tries", spread->tries);
		json_close_object(writer);
	}
	for (int k = 0; k < FIT_OFFSETS; k++) {
		const struct interval *offset = &player->offset[k];
		bool speed = k == PLAYER_SPEED_FACTOR;

		write_interval(player_offset_name((enum player_offset)k),
		               speed ? exp(offset->value) : offset->value,
		               speed ? exp(offset->low95) : offset->low95,
		               speed ? exp(offset->high95) : offset->high95, writer);
		json_close_object(writer);
	}
}

void players_json_write(const struct fit_result *fit, struct json_writer *writer)
{
	if (fit->player_count == 0)
		return;
	json_open_array(writer, "players", false);
	for (size_t i = 0; i < fit->player_count; i++) {
		json_open_object(writer, NULL, false);
		write_player(&fit->players[i], writer);
		json_close_object(writer);
	}
	json_close_array(writer);
}
