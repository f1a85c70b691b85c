/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_CSV_ROWS_H
#define RESTPOINT_FILES_CSV_ROWS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"
#include "base/status.h"

/* Comma-separated text (RFC 4180) as rows of cells, each with its physical line. */

/* Limits that no file of ours comes near; they bound the work that a hostile file causes. */
#define CSV_CELL_LIMIT 1000
#define CSV_ROW_LIMIT 100000

struct csv_cell {
	const char *text; /* UTF-8, zero-terminated, quotes resolved */
	size_t length;
	size_t line;  /* physical line in which the cell begins, from 1 */
	bool refused; /* it holds bytes that are not UTF-8 or controls: its fault was added */
};

struct csv_row {
	size_t line;  /* of its first cell */
	size_t count; /* cells */
	const struct csv_cell *cells;
	bool setting; /* its first cell begins with `#` */
	bool broken;  /* its quotes are wrong: a fault was added, the cells are those before it */
};

struct csv_rows {
	struct csv_row *rows;
	size_t count, capacity;
};

/* How much of a text is read. */
enum csv_extent {
	CSV_ALL,
	CSV_HEAD /* up to the first row whose first cell does not begin with `#` */
};

/* Reads a text with that separator. A byte order mark is skipped, lines end with LF or CR LF,
 * rows without any content are left out. Blanks around an unquoted cell do not belong to it.
 * Every fault (a quote inside a cell, text behind a quoted cell, a quote that is never closed, CR
 * without LF, bytes that are not UTF-8, control characters, a row beyond the limits) is added to
 * faults with line and cell; reading goes on at the line after the faulty cell's first. What could
 * be read is in *rows.
 * STATUS_OK; STATUS_INPUT when nothing can be read (UTF-16), STATUS_SYSTEM when memory is out, both
 * with a fault. */
enum status csv_rows_read(const char *file, const char *bytes, size_t length, char separator,
                          enum csv_extent extent, struct arena *arena, struct csv_rows *rows,
                          struct fault_list *faults);

#endif
