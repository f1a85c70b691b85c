/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The rows of a measurement file (formats.md 3): one for each stroke. */
#include <string.h>

#include "base/number.h"
#include "files/measurement_read.h"
#include "files/refusal.h"
#include "files/timestamp.h"
#include "files/utf8.h"
#include "files/words.h"

#define TRY_HIGHEST 1000
#define MINUTES_HIGHEST 100000.0

static const struct csv_cell *cell_at(const struct csv_row *row, size_t index)
{
	static const struct csv_cell blank = {.text = "", .length = 0, .line = 0};
	return index < row->count ? &row->cells[index] : &blank;
}

/* Every row has the header's cells; what stands beyond them has no column. */
static void check_width(struct measurement_reader *reader, const struct csv_row *row,
                        size_t columns)
{
	if (row->count < columns)
		measurement_refuse_found(
		    reader, row->line, 0, "row",
		    arena_format(reader->scratch, "%zu cell%s", row->count,
		                 row->count == 1 ? "" : "s"),
		    arena_format(reader->scratch, "%zu cells, as in the header", columns),
		    "add the missing separators, so that each value stands below its column");
	for (size_t i = columns; i < row->count; i++) {
		if (row->cells[i].length == 0 || row->cells[i].refused)
			continue;
		measurement_refuse(
		    reader, row->cells[i].line, i + 1, "row", &row->cells[i],
		    arena_format(reader->scratch, "%zu cells, as in the header", columns),
		    reader->style.decimal_comma
			? "put a text that contains the separator in double quotes"
			: "put a text with commas in double quotes, write 2.5 and not 2,5");
		return;
	}
}

static const struct shot_design *read_shot(struct measurement_reader *reader,
                                           const struct csv_cell *cell, size_t line, size_t column,
                                           struct stroke_row *row)
{
	const struct protocol *protocol = reader->protocol;
	if (measurement_cell_is_blank(cell)) {
		if (!cell->refused)
			measurement_refuse(reader, line, column, "shot", cell, "the key of a shot",
			                   "write which shot was played, or clear the whole row");
		return NULL;
	}
	row->shot = measurement_keep(reader, cell->text);
	const struct shot_design *shot =
	    protocol != NULL ? protocol_find_shot(protocol, cell->text) : NULL;
	if (shot != NULL || (protocol == NULL && utf8_is_plain(row->shot)))
		reader->shot = row->shot;
	if (shot != NULL || protocol == NULL)
		return shot;
	const char **keys = arena_allocate(reader->scratch, protocol->shot_count * sizeof *keys);
	if (keys == NULL) {
		refusal_memory(reader->file, reader->faults);
		return NULL;
	}
	for (size_t i = 0; i < protocol->shot_count; i++)
		keys[i] = protocol->shots[i].key;
	measurement_refuse(reader, line, column, "shot", cell,
	                   words_join(reader->scratch, keys, protocol->shot_count),
	                   words_advice(reader->scratch, cell->text, keys, protocol->shot_count,
	                                "write a key of the protocol, or name the right protocol"));
	return NULL;
}

static void read_try(struct measurement_reader *reader, const struct csv_cell *cell, size_t column,
                     struct stroke_row *row)
{
	unsigned long long number;
	if (measurement_cell_is_blank(cell))
		return;
	if (number_read_count(cell->text, cell->length, TRY_HIGHEST, &number) && number >= 1)
		row->try_number = (int)number;
	else
		measurement_refuse(reader, cell->line, column, "try", cell,
		                   "a whole number from 1 to 1000", "write the number of the try");
}

/* Minutes are kept with a point, so that the text means the same in every file. */
static void read_at(struct measurement_reader *reader, const struct csv_cell *cell, size_t column,
                    struct stroke_row *row)
{
	double minutes;
	if (measurement_cell_is_blank(cell))
		return;
	char *copy = arena_copy(reader->arena, cell->text, cell->length);
	if (copy == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	char *comma = reader->style.decimal_comma ? strchr(copy, ',') : NULL;
	if (comma != NULL)
		*comma = '.';
	if ((number_read_plain(copy, cell->length, '.', &minutes) && minutes <= MINUTES_HIGHEST) ||
	    timestamp_is_time(cell->text) || timestamp_is_date_time(cell->text))
		row->at = copy;
	else
		measurement_refuse(reader, cell->line, column, "at", cell,
		                   "minutes from the start, or a time as 19:05:00 or "
		                   "2026-03-14T19:05:00+01:00 (RFC 3339)",
		                   "write hours, minutes and seconds with two digits each");
}

/* A label or a name; NULL when the cell is blank or was refused. */
static const char *read_name(struct measurement_reader *reader, const struct csv_cell *cell,
                             size_t column, const char *what)
{
	if (measurement_cell_is_blank(cell))
		return NULL;
	if (!utf8_is_plain(cell->text)) {
		measurement_refuse(reader, cell->line, column, what, cell, "a text of one line",
		                   "remove the line break");
		return NULL;
	}
	return measurement_keep(reader, cell->text);
}

static void read_valid(struct measurement_reader *reader, const struct csv_cell *cell,
                       size_t column, struct stroke_row *row)
{
	if (measurement_cell_is_blank(cell) || strcmp(cell->text, "yes") == 0)
		row->valid = true;
	else if (strcmp(cell->text, "no") == 0)
		row->valid = false;
	else
		measurement_refuse(reader, cell->line, column, "valid", cell,
		                   "yes, no, or blank for yes", "write yes or no");
}

/* A cell that holds no reading. */
static void read_word(struct measurement_reader *reader, const struct column *column,
                      const struct csv_cell *cell, size_t number, struct stroke_row *row)
{
	const char *name;
	switch (column->kind) {
	case COLUMN_TRY:
		read_try(reader, cell, number, row);
		break;
	case COLUMN_AT:
		read_at(reader, cell, number, row);
		break;
	case COLUMN_PLAYER:
		name = read_name(reader, cell, number, "player");
		row->player = name != NULL ? name : row->player;
		break;
	case COLUMN_BALL:
		name = read_name(reader, cell, number, column->name);
		row->ball[column->number] = name != NULL ? name : row->ball[column->number];
		break;
	case COLUMN_VALID:
		read_valid(reader, cell, number, row);
		break;
	case COLUMN_NOTE:
		if (!measurement_cell_is_blank(cell))
			row->note = measurement_keep(reader, cell->text);
		break;
	case COLUMN_BLANK:
		if (cell->length > 0 && !cell->refused)
			measurement_refuse(reader, cell->line, number, "row", cell,
			                   "nothing below a column without a name",
			                   "name the column or clear the cell");
		break;
	default:
		break;
	}
}

static size_t shot_column(const struct column *columns, size_t count)
{
	size_t i = 0;
	while (i < count && columns[i].kind != COLUMN_SHOT)
		i++;
	return i;
}

/* The shot comes first and the labels of the balls before the readings, for both decide how the
 * readings are read. */
static void read_row(struct measurement_reader *reader, const struct column *columns, size_t count,
                     const struct csv_row *cells, struct stroke_row *row)
{
	const char *player = reader->session->notes[NOTE_PLAYER];
	const struct shot_design *shot = NULL;
	size_t key = shot_column(columns, count);
	*row = (struct stroke_row){.line = cells->line,
	                           .shot = "",
	                           .player = player != NULL ? player : "",
	                           .ball = {"A", "O", "O"},
	                           .valid = true};
	reader->shot = NULL;
	if (key < count)
		shot = read_shot(reader, cell_at(cells, key), cells->line, key + 1, row);
	check_width(reader, cells, count);
	for (size_t i = 0; i < count; i++)
		read_word(reader, &columns[i], cell_at(cells, i), i + 1, row);
	for (size_t i = 0; i < count; i++)
		if (columns[i].kind == COLUMN_QUANTITY)
			measurement_read_quantity(reader, cell_at(cells, i), i + 1,
			                          columns[i].number, shot, row);
	measurement_check_row(reader, row);
	reader->shot = NULL;
}

void measurement_read_rows(struct measurement_reader *reader, const struct column *columns,
                           size_t column_count, const struct csv_row *rows, size_t count,
                           struct measurement *measurement)
{
	measurement->rows = arena_allocate(reader->arena, count * sizeof *measurement->rows);
	if (measurement->rows == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	for (size_t i = 0; i < count; i++) {
		if (reader->faults->count >= MEASUREMENT_FAULT_LIMIT) {
			measurement_refuse_found(reader, rows[i].line, 0, "row",
			                         "too many faults before it", NULL,
			                         "mend those first");
			return;
		}
		if (rows[i].broken)
			continue;
		if (rows[i].setting)
			measurement_refuse(reader, rows[i].line, 1, "row", &rows[i].cells[0],
			                   "settings above the header only",
			                   "move the row above the header");
		else
			read_row(reader, columns, column_count, &rows[i],
			         &measurement->rows[measurement->row_count++]);
	}
}
