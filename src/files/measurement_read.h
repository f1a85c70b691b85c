/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_MEASUREMENT_READ_H
#define RESTPOINT_FILES_MEASUREMENT_READ_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"
#include "files/csv_rows.h"
#include "model/measurement.h"
#include "model/protocol.h"
#include "table/notation.h"

/* The parts of the measurement reader; only the measurement files include this. */

/* After so many faults reading stops: the file is another than was meant. */
#define MEASUREMENT_FAULT_LIMIT 2000

struct measurement_reader {
	const char *file;
	struct arena *arena;   /* of the measurement */
	struct arena *scratch; /* for messages and rows */
	struct fault_list *faults;
	struct session *session;
	struct notation_style style;
	bool table_known;                /* false: its settings were refused */
	bool protocol_refused;           /* what #protocol says was refused */
	const struct protocol *protocol; /* NULL when it was not found */
	const char *shot;                /* key of the row being read, else NULL */
};

/* Adds a fault about a cell (columns count from 1), its text quoted; NULL: no text is shown. */
void measurement_refuse(struct measurement_reader *reader, size_t line, size_t column,
                        const char *what, const struct csv_cell *cell, const char *accepted,
                        const char *next);

/* The same with other words for what was found. */
void measurement_refuse_found(struct measurement_reader *reader, size_t line, size_t column,
                              const char *what, const char *found, const char *accepted,
                              const char *next);

/* Adds the sentence of the notation for a cell that it refused. accepted: better words for what is
 * accepted there, or NULL for the notation's own. */
void measurement_refuse_notation(struct measurement_reader *reader, size_t line, size_t column,
                                 const char *what, const struct csv_cell *cell,
                                 const char *accepted, const struct notation_refusal *refusal);

/* Blank, `-` or `n/a`; also true for a cell whose characters were refused. */
bool measurement_cell_is_blank(const struct csv_cell *cell);

/* A copy of the cell's text that lives with the measurement; "" and a fault when memory is out. */
const char *measurement_keep(struct measurement_reader *reader, const char *text);

/* Reads the settings rows, the first `count` of rows; fills *reader->session. */
void measurement_read_settings(struct measurement_reader *reader, const struct csv_row *rows,
                               size_t count);

/* What a column of the table holds. */
enum column_kind {
	COLUMN_BLANK, /* no name: every cell must be blank */
	COLUMN_SHOT,
	COLUMN_TRY,
	COLUMN_AT,
	COLUMN_PLAYER,
	COLUMN_BALL,
	COLUMN_VALID,
	COLUMN_NOTE,
	COLUMN_QUANTITY,
	COLUMN_UNKNOWN /* its fault was added: its cells are not read */
};

struct column {
	enum column_kind kind;
	int number; /* of the quantity, or the role of the ball */
	const char *name;
};

/* The separator of `;`, tab, `,` that splits the header into the most known columns; where that
 * does not tell, the one that splits the most settings off, then the one that makes more cells. 0
 * when memory is out. */
char measurement_separator(const char *file, const char *bytes, size_t length);

/* Reads the header into columns (an array of header->count). */
void measurement_read_header(struct measurement_reader *reader, const struct csv_row *header,
                             struct column *columns);

/* Reads the rows below the header into the measurement. */
void measurement_read_rows(struct measurement_reader *reader, const struct column *columns,
                           size_t column_count, const struct csv_row *rows, size_t count,
                           struct measurement *measurement);

/* Reads the cell of a quantity. shot: the row's design, or NULL when it is not known. */
void measurement_read_quantity(struct measurement_reader *reader, const struct csv_cell *cell,
                               size_t column, int quantity, const struct shot_design *shot,
                               struct stroke_row *row);

/* Checks that belong to more than one cell of a row, after all were read. */
void measurement_check_row(struct measurement_reader *reader, const struct stroke_row *row);

#endif
