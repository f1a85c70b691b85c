/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The header of a measurement file (formats.md 3) and the separator that it shows. */
#include <string.h>

#include "files/measurement_read.h"
#include "files/setting_rules.h"
#include "files/words.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static const struct column named_columns[] = {
    {COLUMN_SHOT, 0, "shot"},
    {COLUMN_TRY, 0, "try"},
    {COLUMN_AT, 0, "at"},
    {COLUMN_PLAYER, 0, "player"},
    {COLUMN_BALL, BALL_CUE, "cue_ball"},
    {COLUMN_BALL, BALL_OBJECT, "object_ball"},
    {COLUMN_BALL, BALL_OBJECT2, "object2_ball"},
    {COLUMN_VALID, 0, "valid"},
    {COLUMN_NOTE, 0, "note"},
};

static struct column column_from_name(const char *name, size_t length)
{
	int number;
	if (length == 0)
		return (struct column){COLUMN_BLANK, 0, ""};
	for (size_t i = 0; i < COUNT_OF(named_columns); i++)
		if (strcmp(named_columns[i].name, name) == 0)
			return named_columns[i];
	if (quantity_from_name(name, length, &number))
		return (struct column){COLUMN_QUANTITY, number, quantity_name(number)};
	return (struct column){COLUMN_UNKNOWN, 0, name};
}

/* How well a separator splits the rows up to the header. */
struct split {
	bool failed;     /* memory was out */
	size_t columns;  /* known ones in the header */
	size_t settings; /* rows that begin with a known key */
	size_t cells;    /* of the header */
};

static struct split measure_split(const char *file, const char *bytes, size_t length,
                                  char separator)
{
	struct split split = {.failed = true};
	struct csv_rows rows;
	struct fault_list ignored = {0}; /* the chosen separator's faults are found again */
	struct arena *arena = arena_create();
	if (arena == NULL || fault_list_create(&ignored) != STATUS_OK) {
		arena_free(arena);
		return split;
	}
	split.failed = csv_rows_read(file, bytes, length, separator, CSV_HEAD, arena, &rows,
	                             &ignored) == STATUS_SYSTEM;
	for (size_t i = 0; i < rows.count; i++) {
		const struct csv_row *row = &rows.rows[i];
		const char *label;
		if (row->setting) {
			split.settings +=
			    row->count > 0 && setting_rule_find(row->cells[0].text, &label);
			continue;
		}
		split.cells = row->count;
		for (size_t k = 0; k < row->count; k++) {
			struct column column =
			    column_from_name(row->cells[k].text, row->cells[k].length);
			split.columns +=
			    column.kind != COLUMN_UNKNOWN && column.kind != COLUMN_BLANK;
		}
	}
	fault_list_free(&ignored);
	arena_free(arena);
	return split;
}

static bool is_better(struct split a, struct split b)
{
	if (a.columns != b.columns)
		return a.columns > b.columns;
	if (a.settings != b.settings)
		return a.settings > b.settings;
	return a.cells > b.cells;
}

char measurement_separator(const char *file, const char *bytes, size_t length)
{
	static const char separators[] = {';', '\t', ','};
	struct split best = {0};
	char chosen = ',';
	for (size_t i = 0; i < sizeof separators; i++) {
		struct split split = measure_split(file, bytes, length, separators[i]);
		if (split.failed)
			return '\0';
		if (is_better(split, best)) {
			best = split;
			chosen = separators[i];
		}
	}
	return chosen;
}

#define COLUMNS_ACCEPTED                                                                           \
	"shot, try, at, player, cue_ball, object_ball, object2_ball, valid, note, cue_rest_long, " \
	"cue_rest_short, cue_rail1 to cue_rail4 (the same with object_ and object2_), watch1, "    \
	"watch2, sound1 to sound8"

static void refuse_column(struct measurement_reader *reader, const struct csv_cell *cell,
                          size_t number)
{
	const char *names[COUNT_OF(named_columns) + QUANTITY_COUNT];
	for (size_t i = 0; i < COUNT_OF(named_columns); i++)
		names[i] = named_columns[i].name;
	for (int i = 0; i < QUANTITY_COUNT; i++)
		names[COUNT_OF(named_columns) + (size_t)i] = quantity_name(i);
	measurement_refuse(reader, cell->line, number, "column", cell, COLUMNS_ACCEPTED,
	                   words_advice(reader->scratch, cell->text, names, COUNT_OF(names),
	                                "rename or remove the column"));
}

static bool is_same(const struct column *a, const struct column *b)
{
	return a->kind == b->kind && a->number == b->number;
}

static void check_column_twice(struct measurement_reader *reader, const struct csv_cell *cell,
                               struct column *columns, size_t index)
{
	for (size_t i = 0; i < index; i++) {
		if (!is_same(&columns[i], &columns[index]))
			continue;
		measurement_refuse(
		    reader, cell->line, index + 1, "column", cell,
		    arena_format(reader->scratch, "each column once (it is also cell %zu)", i + 1),
		    "remove one of the two columns");
		columns[index].kind = COLUMN_UNKNOWN;
		return;
	}
}

void measurement_read_header(struct measurement_reader *reader, const struct csv_row *header,
                             struct column *columns)
{
	bool shot = false;
	for (size_t i = 0; i < header->count; i++) {
		const struct csv_cell *cell = &header->cells[i];
		columns[i] = column_from_name(cell->text, cell->length);
		if (cell->refused)
			columns[i].kind = COLUMN_UNKNOWN;
		else if (columns[i].kind == COLUMN_UNKNOWN)
			refuse_column(reader, cell, i + 1);
		else if (columns[i].kind != COLUMN_BLANK)
			check_column_twice(reader, cell, columns, i);
		shot = shot || columns[i].kind == COLUMN_SHOT;
	}
	if (!shot)
		measurement_refuse_found(
		    reader, header->line, 0, "header", "no column \"shot\"",
		    "a column \"shot\" with the key of each shot",
		    "name the column that says which shot was played \"shot\"");
}
