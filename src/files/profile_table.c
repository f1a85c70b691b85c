/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "table" in a profile: formats.md 5. */
#include <string.h>

#include "files/profile_read.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static const char *const table_keys[] = {"preset",
                                         "length_m",
                                         "width_m",
                                         "nose_height_m",
                                         "sight_setback_m",
                                         "corner_mouth_m",
                                         "side_mouth_m",
                                         "pockets",
                                         "ball_diameter_m",
                                         "ball_mass_kg",
                                         "cue_ball_diameter_m",
                                         "cue_ball_mass_kg"};

/* The preset as it is in the program; false, with a fault, when there is none of that name. */
static bool read_preset(struct json_reader *reader, const struct json_node *node,
                        struct table *table)
{
	size_t count, index;
	const char *names[32];
	const struct table *presets = table_presets(&count);
	if (count > COUNT_OF(names) - 1)
		count = COUNT_OF(names) - 1;
	for (size_t i = 0; i < count; i++)
		names[i] = presets[i].preset;
	names[count] = "custom";
	if (!json_read_word(reader, node, "preset", names, count + 1, &index))
		return false;
	*table = index < count ? presets[index] : table_custom(2.54, 1.27);
	return true;
}

/* A number that replaces one of the preset; `flag` is no longer assumed when it differs. */
static void read_override(struct json_reader *reader, const struct json_node *node,
                          const struct json_rule *rule, unsigned flag, struct table *table,
                          double *field)
{
	double value = *field;
	if (!json_read_number(reader, node, rule, &value))
		return;
	if (value != *field)
		table->assumed &= ~flag;
	*field = value;
}

static void read_numbers(struct json_reader *reader, const struct json_node *node,
                         struct table *table)
{
	static const struct json_rule length = {"length_m", JSON_REQUIRED, 1, 4, false};
	static const struct json_rule width = {"width_m", JSON_REQUIRED, 0.5, 2.5, false};
	static const struct json_rule nose = {"nose_height_m", JSON_REQUIRED, 0, 0.2, true};
	static const struct json_rule sight = {"sight_setback_m", JSON_REQUIRED, 0, 0.3, false};
	static const struct json_rule corner = {"corner_mouth_m", JSON_OPTIONAL, 0, 0.3, false};
	static const struct json_rule side = {"side_mouth_m", JSON_OPTIONAL, 0, 0.3, false};
	static const struct json_rule diameter = {"ball_diameter_m", JSON_REQUIRED, 0.02, 0.1,
	                                          false};
	static const struct json_rule mass = {"ball_mass_kg", JSON_REQUIRED, 0.02, 0.5, false};
	static const struct json_rule cue_diameter = {"cue_ball_diameter_m", JSON_OPTIONAL, 0.02,
	                                              0.1, false};
	static const struct json_rule cue_mass = {"cue_ball_mass_kg", JSON_OPTIONAL, 0.02, 0.5,
	                                          false};
	read_override(reader, node, &length, 0, table, &table->length);
	read_override(reader, node, &width, 0, table, &table->width);
	read_override(reader, node, &nose, TABLE_ASSUMED_NOSE_HEIGHT, table, &table->nose_height);
	read_override(reader, node, &sight, TABLE_ASSUMED_SIGHT_SETBACK, table,
	              &table->sight_setback);
	read_override(reader, node, &corner, TABLE_ASSUMED_MOUTHS, table, &table->corner_mouth);
	read_override(reader, node, &side, TABLE_ASSUMED_MOUTHS, table, &table->side_mouth);
	json_read_truth(reader, node, "pockets", JSON_OPTIONAL, &table->pockets);
	read_override(reader, node, &cue_diameter, 0, table, &table->cue_ball_diameter);
	read_override(reader, node, &cue_mass, 0, table, &table->cue_ball_mass);
	read_override(reader, node, &diameter, 0, table, &table->ball_diameter);
	read_override(reader, node, &mass, 0, table, &table->ball_mass);
}

/* A cue ball that the file does not state is like the others, but for a preset whose cue ball is
 * another by design. */
static void settle_cue_ball(const struct json_node *node, const struct table *preset,
                            struct table *table)
{
	if (json_tree_member(node, "cue_ball_diameter_m") == NULL &&
	    preset->cue_ball_diameter == preset->ball_diameter)
		table->cue_ball_diameter = table->ball_diameter;
	if (json_tree_member(node, "cue_ball_mass_kg") == NULL &&
	    preset->cue_ball_mass == preset->ball_mass)
		table->cue_ball_mass = table->ball_mass;
}

void profile_read_table(struct json_reader *reader, const struct json_node *node,
                        struct profile *profile)
{
	size_t before = reader->faults->count;
	struct table *table = &profile->table;
	const char *why = NULL;
	if (!json_read_object(reader, node, table_keys, COUNT_OF(table_keys)))
		return;
	read_preset(reader, node, table);
	struct table preset = *table;
	read_numbers(reader, node, table);
	settle_cue_ball(node, &preset, table);
	if (reader->faults->count == before && !table_is_valid(table, &why))
		json_read_refuse_found(reader, node, "a table that cannot be played on", why,
		                       "correct its sizes");
}
