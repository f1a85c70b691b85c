/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_SETTING_RULES_H
#define RESTPOINT_FILES_SETTING_RULES_H

#include <stdbool.h>
#include <stddef.h>

#include "files/measurement_read.h"

/* The settings of a measurement file (formats.md 3): one rule for each key. */

/* One setting as written. */
struct setting_value {
	const char *key;   /* with `#`, and with the label of a ball behind a colon */
	const char *label; /* of a ball, or NULL */
	const struct csv_cell *cell;
	size_t line, column; /* of the value; 0 on a command line */
};

/* Settings that others depend on are applied before these, whatever their order in the file. */
enum setting_stage { SETTING_FIRST, SETTING_LATER, SETTING_STAGES };

struct setting_rule {
	const char *key; /* with `#` */
	enum setting_stage stage;
	void (*apply)(struct measurement_reader *reader, const struct setting_rule *rule,
	              const struct setting_value *value);
	size_t field;           /* offset in struct session, where it applies */
	double lowest, highest; /* of a number */
	bool open;              /* `lowest` itself is refused */
	unsigned number;        /* of a note, or flags of enum table_assumed that it clears */
	bool labelled;          /* the label of a ball may follow the key */
};

/* The rule for a key such as `#ball_mass_kg:B`; *label receives the text behind the colon (in the
 * key itself) or NULL. NULL when the key is unknown or has a label where none belongs. */
const struct setting_rule *setting_rule_find(const char *key, const char **label);

/* All keys, in the order of formats.md 3. The array has SETTING_KEYS_LIMIT places. */
#define SETTING_KEYS_LIMIT 48
size_t setting_rule_keys(const char *keys[SETTING_KEYS_LIMIT]);

#endif
