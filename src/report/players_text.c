/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/players_text.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "report/paragraph.h"

/* How a number of a player is shown. */
struct player_wording {
	const char *title;  /* "your speed" */
	const char *unit;
	double factor;      /* from the fit's unit to that one */
	int decimals;
};

static const struct player_wording spreads[PLAYER_SPREADS] = {
	{"speed repeats", "%", 100.0, 1},
	{"aim repeats", "degrees", 1.0, 2},
	{"height of the tip repeats", "of the radius", 1.0, 3},
	{"side of the tip repeats", "of the radius", 1.0, 3},
};

static void print_spread(const struct player_wording *wording, const struct profile_spread *spread,
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
	double percent = 100.0 * (offset->value - 1.0);
	char value[NUMBER_SIZE], low[NUMBER_SIZE], high[NUMBER_SIZE];

	number_print_fixed(fabs(percent), 0, value);
	number_print_fixed(100.0 * (offset->low95 - 1.0), 0, low);
	number_print_fixed(100.0 * (offset->high95 - 1.0), 0, high);
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

/* How often a player's name stands in the profile: once for each session. */
static size_t count_sessions(const struct profile *profile, const char *name)
{
	size_t count = 0;

	for (size_t i = 0; i < profile->player_count; i++)
		count += strcmp(profile->players[i].name, name) == 0;
	return count;
}

void players_text_print(const struct profile *profile, struct text *out)
{
	for (size_t i = 0; i < profile->player_count; i++) {
		const struct profile_player *player = &profile->players[i];

		if (player->name[0] != '\0')
			text_print(out, "\nPlayer %s", player->name);
		else
			text_add(out, "\nThe player");
		if (count_sessions(profile, player->name) > 1)
			text_print(out, ", %s", player->file);
		text_add(out, "\n");
		for (int k = 0; k < PLAYER_SPREADS; k++)
			print_spread(&spreads[k], &player->spread[k], out);
		print_speed(&player->offset[PLAYER_SPEED_FACTOR], out);
		print_offset(&player->offset[PLAYER_HEIGHT_OFFSET], "higher", "lower", out);
		print_offset(&player->offset[PLAYER_SIDE_OFFSET], "farther right", "farther left",
		             out);
	}
}
