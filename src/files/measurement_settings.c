/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The settings rows of a measurement file (formats.md 3): which there are, in what order they are
 * applied, and what must hold among them. */
#include <math.h>
#include <string.h>

#include "files/measurement_file.h"
#include "files/refusal.h"
#include "files/setting_rules.h"
#include "files/words.h"

/* A row that names a known setting. */
struct given {
	const struct setting_rule *rule;
	struct setting_value value;
};

struct given_list {
	struct given *items;
	size_t count, capacity;
};

static void refuse_key(struct measurement_reader *reader, const struct csv_cell *cell,
                       size_t column)
{
	const char *keys[SETTING_KEYS_LIMIT];
	size_t count = setting_rule_keys(keys);
	measurement_refuse(reader, cell->line, column, "setting", cell,
	                   words_join(reader->scratch, keys, count),
	                   words_advice(reader->scratch, cell->text, keys, count,
	                                "use one of these settings, or #note for remarks"));
}

/* Nothing but empty cells may follow the value. */
static void check_rest_of_row(struct measurement_reader *reader, const struct csv_row *row)
{
	for (size_t i = 2; i < row->count; i++) {
		if (row->cells[i].length == 0 || row->cells[i].refused)
			continue;
		measurement_refuse(reader, row->cells[i].line, i + 1, row->cells[0].text,
		                   &row->cells[i], "one value and nothing after it",
		                   "put a value that contains the separator in double quotes");
		return;
	}
}

static const struct given *find_given(const struct given_list *list, const char *key)
{
	for (size_t i = 0; i < list->count; i++)
		if (strcmp(list->items[i].value.key, key) == 0)
			return &list->items[i];
	return NULL;
}

static void take_row(struct measurement_reader *reader, const struct csv_row *row,
                     struct given_list *list)
{
	static const struct csv_cell blank = {.text = "", .length = 0, .line = 0};
	const struct csv_cell *key = &row->cells[0];
	struct given given = {.value = {.key = key->text, .line = row->line, .column = 2}};
	given.rule = setting_rule_find(key->text, &given.value.label);
	if (given.rule == NULL) {
		if (!key->refused)
			refuse_key(reader, key, 1);
		return;
	}
	check_rest_of_row(reader, row);
	const struct given *first = find_given(list, key->text);
	if (first != NULL) {
		measurement_refuse_found(reader, key->line, 1, key->text,
		                         arena_format(reader->scratch,
		                                      "the setting again, first in "
		                                      "line %zu",
		                                      first->value.line),
		                         "each setting once", "remove one of the two rows");
		return;
	}
	given.value.cell = row->count > 1 ? &row->cells[1] : &blank;
	if (given.value.cell->line > 0)
		given.value.line = given.value.cell->line;
	struct given *grown = arena_grow(reader->scratch, list->items, list->count, &list->capacity,
	                                 sizeof *list->items);
	if (grown == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	list->items = grown;
	list->items[list->count++] = given;
}

/* Line of a setting, or of the first one, for faults that concern several. */
static size_t line_of(const struct given_list *list, const char *key)
{
	const struct given *given = find_given(list, key);
	return given != NULL ? given->value.line : 0;
}

/* Whether a setting was given with a value. */
static bool has_value(const struct given_list *list, const char *key)
{
	const struct given *given = find_given(list, key);
	return given != NULL && !measurement_cell_is_blank(given->value.cell);
}

static void check_custom(struct measurement_reader *reader, const struct given_list *list)
{
	static const char *const sizes[] = {"#length_m", "#width_m"};
	if (strcmp(reader->session->table.preset, "custom") != 0)
		return;
	for (size_t i = 0; i < 2; i++) {
		if (has_value(list, sizes[i]))
			continue;
		measurement_refuse_found(
		    reader, line_of(list, "#table"), 2, "#table",
		    arena_format(reader->scratch, "custom without %s", sizes[i]),
		    "custom with #length_m and #width_m", "add the playing size from nose to nose");
		reader->table_known = false;
	}
}

/* Pockets need their half mouths, and half mouths need pockets. */
static void check_pockets(struct measurement_reader *reader, const struct given_list *list)
{
	struct table *table = &reader->session->table;
	bool corner = has_value(list, "#corner_mouth_m"), side = has_value(list, "#side_mouth_m");
	if (corner && side)
		table->assumed &= ~(unsigned)TABLE_ASSUMED_MOUTHS;
	if (table->pockets && (table->corner_mouth <= 0 || table->side_mouth <= 0))
		measurement_refuse_found(
		    reader, line_of(list, "#pockets"), 2, "#pockets", "pockets without their size",
		    "#corner_mouth_m and #side_mouth_m with pockets", "add both half mouths");
	else if (!table->pockets && (corner || side))
		measurement_refuse_found(
		    reader, line_of(list, corner ? "#corner_mouth_m" : "#side_mouth_m"), 1,
		    corner ? "#corner_mouth_m" : "#side_mouth_m",
		    "a mouth on a table without pockets", "half mouths only with pockets",
		    "remove it or set #pockets to yes");
}

static void check_microphone(struct measurement_reader *reader, const struct given_list *list)
{
	struct session *session = reader->session;
	bool along = has_value(list, "#microphone_long");
	bool across = has_value(list, "#microphone_short");
	if (!session->microphone_known)
		session->microphone_long = session->microphone_short = 0;
	if (along != across)
		measurement_refuse_found(
		    reader, line_of(list, along ? "#microphone_long" : "#microphone_short"), 1,
		    along ? "#microphone_long" : "#microphone_short", "one coordinate alone",
		    "both #microphone_long and #microphone_short, or neither",
		    along ? "add #microphone_short" : "add #microphone_long");
}

/* The table as a whole, and each ball of a stated size against its nose. */
static void check_table(struct measurement_reader *reader, const struct given_list *list,
                        size_t line)
{
	const struct session *session = reader->session;
	const char *why = NULL;
	if (!table_is_valid(&session->table, &why)) {
		measurement_refuse_found(reader, line, 0, "table", "sizes that do not fit together",
		                         why, "correct the sizes in the settings");
		reader->table_known = false;
		return;
	}
	for (size_t i = 0; i < session->ball_count; i++) {
		const struct labelled_ball *ball = &session->balls[i];
		bool fits = session->table.nose_height > ball->diameter / 2 &&
		            session->table.nose_height < ball->diameter;
		if (ball->diameter <= 0 || fits)
			continue;
		const char *key = arena_format(reader->scratch, "#ball_diameter_m:%s", ball->label);
		const struct given *given = key != NULL ? find_given(list, key) : NULL;
		measurement_refuse_found(
		    reader, given != NULL ? given->value.line : line, given != NULL ? 2 : 0, key,
		    "a ball that does not meet the cushion nose",
		    "a nose height between the radius and the diameter of every ball",
		    "correct the diameter or #nose_height_m");
	}
}

static void check_all(struct measurement_reader *reader, const struct given_list *list)
{
	size_t before = reader->faults->count;
	size_t line = list->count > 0 ? list->items[0].value.line : 0;
	size_t table_line = line_of(list, "#table");
	check_microphone(reader, list);
	if (reader->table_known) {
		check_custom(reader, list);
		check_pockets(reader, list);
	}
	if (reader->table_known && reader->faults->count == before)
		check_table(reader, list, table_line > 0 ? table_line : line);
}

void measurement_read_settings(struct measurement_reader *reader, const struct csv_row *rows,
                               size_t count)
{
	struct given_list list = {0};
	for (size_t i = 0; i < count; i++)
		if (rows[i].count > 0 && !rows[i].broken &&
		    reader->faults->count < MEASUREMENT_FAULT_LIMIT)
			take_row(reader, &rows[i], &list);
	for (int stage = SETTING_FIRST; stage < SETTING_STAGES; stage++)
		for (size_t i = 0; i < list.count; i++)
			if ((int)list.items[i].rule->stage == stage)
				list.items[i].rule->apply(reader, list.items[i].rule,
				                          &list.items[i].value);
	check_all(reader, &list);
}

static void apply_one(struct measurement_reader *reader, const char *key, const char *value)
{
	const char *hashed = arena_format(reader->scratch, "#%s", key);
	struct csv_cell cell = {.text = value, .length = strlen(value), .line = 0};
	struct setting_value setting = {.key = hashed, .cell = &cell};
	if (hashed == NULL) {
		refusal_memory(NULL, reader->faults);
		return;
	}
	const struct setting_rule *rule = setting_rule_find(hashed, &setting.label);
	if (rule == NULL) {
		struct csv_cell name = {.text = hashed, .length = strlen(hashed), .line = 0};
		refuse_key(reader, &name, 0);
		return;
	}
	struct given_list none = {0};
	size_t before = reader->faults->count;
	rule->apply(reader, rule, &setting);
	if (reader->faults->count == before)
		check_table(reader, &none, 0);
}

enum status measurement_setting_apply(struct session *session, struct arena *arena, const char *key,
                                      const char *value, struct fault_list *faults)
{
	struct session changed = *session;
	size_t before = faults->count;
	struct arena *scratch = arena_create();
	if (scratch == NULL)
		return refusal_memory(NULL, faults);
	struct measurement_reader reader = {
	    .arena = arena,
	    .scratch = scratch,
	    .faults = faults,
	    .session = &changed,
	    .style = {.decimal_comma = false, .diamond_value = session->diamond_value},
	    .table_known = true};
	apply_one(&reader, key, value);
	arena_free(scratch);
	enum status status = refusal_status(faults, before);
	if (status == STATUS_OK)
		*session = changed;
	return status;
}
