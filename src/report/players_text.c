/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/players_text.h"

#include <math.h>

#include "base/number.h"
#include "report/paragraph.h"

/* How a number of a player is shown. */
struct player_wording {
	const char *key;    /* in JSON */
	const char *title;  /* "your speed" */
	const char *unit;
	double factor;      /* from the fit's unit to that one */
	int decimals;
};

static const struct player_wording spreads[FIT_SPREADS] = {
	{"speed_spread", "speed repeats", "%", 100.0, 1},
	{"aim_spread_deg", "aim repeats", "degrees", 1.0, 2},
	{"height_spread", "height of the tip repeats", "of the radius", 1.0, 3},
	{"side_spread", "side of the tip repeats", "of the radius", 1.0, 3},
};

static const char *const offset_keys[FIT_OFFSETS] = {"speed_factor", "height_offset",
                                                     "side_offset"};

static void print_spread(const struct player_wording *wording, const struct fit_spread *spread,
                         struct text *out)
{
	char value[NUMBER_SIZE], low[NUMBER_SIZE], high[NUMBER_SIZE];

	if (!spread->told)
		return;
	number_print_fixed(wording->factor * spread->value, wording->decimals, value);
	number_print_fixed(wording->factor * spread->low95, wording->decimals, low);
	number_print_fixed(wording->factor * spread->high95, wording->decimals, high);
	paragraph_print(out, 2, 4,
	                "your %s within %s %s from try to try (95 %% interval %s to %s, %zu tries)",
	                wording->title, value, wording->unit, low, high, spread->tries);
}

static void print_speed(const struct interval *offset, struct text *out)
{
	double percent = 100.0 * (exp(offset->value) - 1.0);
	char value[NUMBER_SIZE], low[NUMBER_SIZE], high[NUMBER_SIZE];

	number_print_fixed(fabs(percent), 0, value);
	number_print_fixed(100.0 * (exp(offset->low95) - 1.0), 0, low);
	number_print_fixed(100.0 * (exp(offset->high95) - 1.0), 0, high);
	paragraph_print(out, 2, 4,
	                "you strike %s %% %s than designed (95 %% interval %s to %s %%)", value,
	                percent < 0.0 ? "softer" : "firmer", low, high);
}

static void print_offset(const struct interval *offset, const char *more, const char *less,
                         struct text *out)
{
	char value[NUMBER_SIZE], low[NUMBER_SIZE], high[NUMBER_SIZE];

	number_print_fixed(fabs(offset->value), 3, value);
	number_print_fixed(offset->low95, 3, low);
	number_print_fixed(offset->high95, 3, high);
	paragraph_print(out, 2, 4,
	                "you strike %s of the radius %s than designed (95 %% interval %s to %s)",
	                value, offset->value < 0.0 ? less : more, low, high);
}

void players_text_print(const struct fit_result *fit, struct text *out)
{
	for (size_t i = 0; i < fit->player_count; i++) {
		const struct fit_player *player = &fit->players[i];

		if (player->name[0] != '\0')
			text_print(out, "\nPlayer %s", player->name);
		else
			text_add(out, "\nThe player");
		if (fit->player_count > 1)
			text_print(out, ", file %zu", player->input + 1);
		text_add(out, "\n");
		for (int own = 0; own < FIT_SPREADS; own++)
			print_spread(&spreads[own], &player->spread[own], out);
		print_speed(&player->offset[0], out);
		print_offset(&player->offset[1], "higher", "lower", out);
		print_offset(&player->offset[2], "farther right", "farther left", out);
	}
}

static void write_interval(const char *key, double value, double low, double high,
                           struct json_writer *writer)
{
	json_open_object(writer, key, true);
	json_number(writer, "value", value);
	json_number(writer, "low95", low);
	json_number(writer, "high95", high);
}

void players_text_json(const struct fit_result *fit, struct json_writer *writer)
{
	if (fit->player_count == 0)
		return;
	json_open_array(writer, "players", false);
	for (size_t i = 0; i < fit->player_count; i++) {
		const struct fit_player *player = &fit->players[i];

		json_open_object(writer, NULL, false);
		json_string(writer, "player", player->name);
		json_count(writer, "file", player->input + 1);
		for (int own = 0; own < FIT_SPREADS; own++) {
			const struct fit_spread *spread = &player->spread[own];

			if (!spread->told)
				continue;
			write_interval(spreads[own].key, spread->value, spread->low95,
			               spread->high95, writer);
			json_count(writer, "tries", spread->tries);
			json_close_object(writer);
		}
		for (int k = 0; k < FIT_OFFSETS; k++) {
			const struct interval *offset = &player->offset[k];
			bool speed = k == 0;

			write_interval(offset_keys[k], speed ? exp(offset->value) : offset->value,
			               speed ? exp(offset->low95) : offset->low95,
			               speed ? exp(offset->high95) : offset->high95, writer);
			json_close_object(writer);
		}
		json_close_object(writer);
	}
	json_close_array(writer);
}
