/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/csv_rows.h"

/* The only file that uses libcsv. */
#include <csv.h>
#include <string.h>

#include "files/refusal.h"
#include "files/utf8.h"

/* The library knows no line numbers, keeps a byte order mark and says nothing of blank lines, so
 * it is fed one physical line after the other, and the lines are counted here. */
struct feeder {
	const char *file;
	struct arena *arena;
	struct csv_rows *rows;
	struct fault_list *faults;
	struct csv_parser parser;
	char separator;
	const char *at;     /* the next line */
	size_t left;        /* bytes from there */
	const char *resume; /* the line after the one in which the cell being read began */
	size_t resume_left;
	size_t line;            /* physical line being fed */
	size_t cell_line;       /* in which the cell being read began */
	struct csv_cell *cells; /* of the row being read */
	size_t count, capacity;
	bool row_open;  /* a quoted cell went over the end of the last line */
	bool row_ended; /* within the line being fed */
	bool too_wide;  /* the row has more cells than the limit */
	bool hash;      /* the row being read begins with `#`, quoted or not */
	bool memory_out;
};

static void add_fault(struct feeder *feeder, size_t line, size_t column, const char *found,
                      const char *accepted, const char *next)
{
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = feeder->file,
	                      .line = line,
	                      .column = column,
	                      .what = "CSV",
	                      .found = found,
	                      .accepted = accepted,
	                      .next = next};
	fault_list_add(feeder->faults, &fault);
}

/* False, with a fault, when the cell holds what no text file may hold. */
static bool check_characters(struct feeder *feeder, const char *text, size_t length)
{
	size_t bad = utf8_first_bad(text, length);
	if (bad == length)
		return true;
	bool control = utf8_sequence(text + bad, length - bad, NULL) > 0;
	const char *shown = utf8_quote(feeder->arena, text, length);
	add_fault(feeder, feeder->cell_line, feeder->count + 1,
	          arena_format(feeder->arena, "%s in %s",
	                       control ? "a control character" : "bytes that are not UTF-8",
	                       shown != NULL ? shown : "a cell"),
	          "UTF-8 text",
	          control ? "remove the character (shown as ?)"
	                  : "save the file as CSV UTF-8 from the spreadsheet");
	return false;
}

/* Called by the library for each cell. */
static void take_cell(void *bytes, size_t length, void *context)
{
	struct feeder *feeder = context;
	if (feeder->count >= CSV_CELL_LIMIT) {
		feeder->too_wide = true;
		return;
	}
	struct csv_cell *grown = arena_grow(feeder->arena, feeder->cells, feeder->count,
	                                    &feeder->capacity, sizeof *feeder->cells);
	char *copy = arena_copy(feeder->arena, bytes, length);
	if (grown == NULL || copy == NULL) {
		feeder->memory_out = true;
		return;
	}
	bool good = check_characters(feeder, copy, length);
	feeder->cells = grown;
	feeder->cells[feeder->count++] = (struct csv_cell){copy, length, feeder->cell_line, !good};
	feeder->cell_line = feeder->line;
}

static bool is_empty(const struct csv_cell *cells, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (cells[i].length > 0)
			return false;
	return true;
}

static struct csv_row *add_row(struct feeder *feeder)
{
	struct csv_rows *rows = feeder->rows;
	struct csv_row *grown =
	    arena_grow(feeder->arena, rows->rows, rows->count, &rows->capacity, sizeof *rows->rows);
	if (grown == NULL) {
		feeder->memory_out = true;
		return NULL;
	}
	rows->rows = grown;
	return &rows->rows[rows->count++];
}

/* Ends the row being read and keeps it unless it is empty. */
static void finish_row(struct feeder *feeder, bool broken)
{
	struct csv_row *row = NULL;
	size_t size = feeder->count * sizeof *feeder->cells;
	if (feeder->too_wide)
		add_fault(feeder, feeder->line, 0, "more than 1000 cells in a row", "at most 1000",
		          "check that this is the file you mean");
	if (broken || !is_empty(feeder->cells, feeder->count))
		row = add_row(feeder);
	if (row != NULL) {
		struct csv_cell *cells = arena_allocate(feeder->arena, size);
		if (cells == NULL)
			feeder->memory_out = true;
		else if (size > 0)
			memcpy(cells, feeder->cells, size);
		bool some = cells != NULL && feeder->count > 0;
		*row = (struct csv_row){.line = some ? cells[0].line : feeder->cell_line,
		                        .count = some ? feeder->count : 0,
		                        .cells = cells,
		                        .setting = some ? cells[0].text[0] == '#' : feeder->hash,
		                        .broken = broken || feeder->too_wide};
	}
	feeder->count = 0;
	feeder->too_wide = false;
	feeder->cell_line = feeder->line;
}

/* Called by the library at the end of each row. */
static void take_row(int terminator, void *context)
{
	struct feeder *feeder = context;
	(void)terminator;
	finish_row(feeder, false);
	feeder->row_ended = true;
}

static bool start_parser(struct feeder *feeder)
{
	if (csv_init(&feeder->parser, CSV_STRICT | CSV_STRICT_FINI) != 0)
		return false;
	csv_set_delim(&feeder->parser, (unsigned char)feeder->separator);
	return true;
}

/* The parser stopped: says why, keeps the row as broken, and starts afresh behind the line in
 * which the faulty cell began, so that a quote too many hides no other line.
 *   inside  it stopped at a character, not at the end of the text */
static void recover(struct feeder *feeder, bool inside)
{
	bool here = inside && feeder->cell_line == feeder->line;
	if (csv_error(&feeder->parser) != CSV_EPARSE) {
		feeder->memory_out = true;
		return;
	}
	add_fault(feeder, feeder->cell_line, feeder->count + 1,
	          here ? "a double quote inside a cell, or text behind a quoted cell"
	               : "a quoted cell that is not closed",
	          "a cell in double quotes as a whole, with \"\" for each double quote in it",
	          "put the whole cell in double quotes, or remove them");
	size_t first = feeder->cell_line;
	finish_row(feeder, true);
	feeder->row_open = false;
	feeder->line = first;
	feeder->at = feeder->resume;
	feeder->left = feeder->resume_left;
	csv_free(&feeder->parser);
	if (!start_parser(feeder))
		feeder->memory_out = true;
}

/* Length of the physical line at the start of left bytes with its end; *alone when it ends with a
 * CR that no LF follows. */
static size_t line_length(const char *bytes, size_t left, bool *alone)
{
	*alone = false;
	for (size_t i = 0; i < left; i++) {
		if (bytes[i] == '\n')
			return i + 1;
		if (bytes[i] != '\r')
			continue;
		if (i + 1 < left && bytes[i + 1] == '\n')
			return i + 2;
		*alone = true;
		return i + 1;
	}
	return left;
}

/* The first byte of a line that is no blank, or NULL. */
static const char *first_content(const char *bytes, size_t length)
{
	for (size_t i = 0; i < length; i++)
		if (bytes[i] == '\0' || strchr(" \t\r\n", bytes[i]) == NULL)
			return bytes + i;
	return NULL;
}

static void note_row_start(struct feeder *feeder, const char *bytes, size_t length)
{
	const char *first = first_content(bytes, length);
	if (first != NULL && *first == '"' && first + 1 < bytes + length)
		first++;
	feeder->hash = first != NULL && *first == '#';
	feeder->cell_line = feeder->line;
}

/* Feeds the next physical line. False when the parser stopped in it. */
static bool feed_line(struct feeder *feeder, bool *lone_return)
{
	const char *bytes = feeder->at;
	size_t length = line_length(bytes, feeder->left, lone_return);
	feeder->line++;
	feeder->at += length;
	feeder->left -= length;
	feeder->row_ended = false;
	if (!feeder->row_open)
		note_row_start(feeder, bytes, length);
	bool good =
	    csv_parse(&feeder->parser, bytes, length, take_cell, take_row, feeder) == length;
	if (feeder->cell_line == feeder->line || !feeder->row_open) {
		feeder->resume = feeder->at;
		feeder->resume_left = feeder->left;
	}
	if (feeder->row_ended)
		feeder->row_open = false;
	else if (first_content(bytes, length) != NULL)
		feeder->row_open = true;
	return good;
}

/* True when the last row read is the first one that is no setting. */
static bool head_is_read(const struct csv_rows *rows)
{
	return rows->count > 0 && !rows->rows[rows->count - 1].setting;
}

/* Feeds line after line to the end; false when reading shall stop before it. */
static bool feed_lines(struct feeder *feeder, enum csv_extent extent, bool *told)
{
	while (feeder->left > 0 && !feeder->memory_out) {
		bool lone_return = false;
		if (!feed_line(feeder, &lone_return))
			recover(feeder, true);
		else if (lone_return && !feeder->row_open && !*told && feeder->left > 0) {
			add_fault(feeder, feeder->line, 0, "a line that ends with CR alone",
			          "LF or CR LF",
			          "save the file again with the line ends of your system");
			*told = true;
		}
		if (extent == CSV_HEAD && head_is_read(feeder->rows))
			return false;
		if (feeder->rows->count > CSV_ROW_LIMIT) {
			add_fault(feeder, feeder->line, 0, "more than 100000 rows",
			          "at most 100000 rows", "check that this is the file you mean");
			return false;
		}
	}
	return !feeder->memory_out;
}

static void feed_all(struct feeder *feeder, enum csv_extent extent)
{
	bool told = false;
	while (feed_lines(feeder, extent, &told)) {
		if (csv_fini(&feeder->parser, take_cell, take_row, feeder) == 0)
			return;
		recover(feeder, false);
		if (extent == CSV_HEAD && head_is_read(feeder->rows))
			return;
	}
}

enum status csv_rows_read(const char *file, const char *bytes, size_t length, char separator,
                          enum csv_extent extent, struct arena *arena, struct csv_rows *rows,
                          struct fault_list *faults)
{
	bool mark = length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0;
	struct feeder feeder = {.file = file,
	                        .arena = arena,
	                        .rows = rows,
	                        .faults = faults,
	                        .separator = separator,
	                        .at = bytes + (mark ? 3 : 0),
	                        .left = length - (mark ? 3 : 0)};
	*rows = (struct csv_rows){0};
	if (length >= 2 &&
	    (memcmp(bytes, "\xFF\xFE", 2) == 0 || memcmp(bytes, "\xFE\xFF", 2) == 0)) {
		add_fault(&feeder, 1, 0, "UTF-16 text", "UTF-8 text",
		          "save the file as CSV UTF-8 from the spreadsheet");
		return STATUS_INPUT;
	}
	if (!start_parser(&feeder))
		return refusal_memory(file, faults);
	feed_all(&feeder, extent);
	csv_free(&feeder.parser);
	return feeder.memory_out ? refusal_memory(file, faults) : STATUS_OK;
}
