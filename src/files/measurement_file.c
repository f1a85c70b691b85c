/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/measurement_file.h"

#include <string.h>

#include "files/disk.h"
#include "files/measurement_read.h"
#include "files/refusal.h"
#include "files/utf8.h"

void measurement_refuse_found(struct measurement_reader *reader, size_t line, size_t column,
                              const char *what, const char *found, const char *accepted,
                              const char *next)
{
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = reader->file,
	                      .line = line,
	                      .column = column,
	                      .shot = reader->shot,
	                      .what = what,
	                      .found = found,
	                      .accepted = accepted,
	                      .next = next};
	fault_list_add(reader->faults, &fault);
}

void measurement_refuse(struct measurement_reader *reader, size_t line, size_t column,
                        const char *what, const struct csv_cell *cell, const char *accepted,
                        const char *next)
{
	const char *found = cell->length == 0
	                        ? "a blank cell"
	                        : utf8_quote(reader->scratch, cell->text, cell->length);
	measurement_refuse_found(reader, line, column, what, found, accepted, next);
}

void measurement_refuse_notation(struct measurement_reader *reader, size_t line, size_t column,
                                 const char *what, const struct csv_cell *cell,
                                 const char *accepted, const struct notation_refusal *refusal)
{
	measurement_refuse(reader, line, column, what, cell,
	                   accepted != NULL ? accepted : refusal->accepted,
	                   refusal->next[0] != '\0' ? refusal->next : "correct the cell");
}

bool measurement_cell_is_blank(const struct csv_cell *cell)
{
	if (cell->refused)
		return true;
	const char *text = cell->text + strspn(cell->text, " \t");
	return *text == '\0' || strcmp(text, "-") == 0 || strcmp(text, "n/a") == 0;
}

const char *measurement_keep(struct measurement_reader *reader, const char *text)
{
	const char *copy = arena_copy(reader->arena, text, strlen(text));
	if (copy == NULL)
		refusal_memory(reader->file, reader->faults);
	return copy != NULL ? copy : "";
}

/* Calls the finder, unless the file's own answer was refused before. */
static void find_protocol(struct measurement_reader *reader, const struct protocol_finder *finder)
{
	size_t before = reader->faults->count;
	if (reader->protocol_refused)
		return;
	reader->protocol =
	    finder->find(finder->context, reader->file, reader->session->protocol, reader->faults);
	if (reader->protocol == NULL && reader->faults->count == before)
		measurement_refuse_found(reader, 0, 0, "protocol", "none",
		                         "a protocol that can be read", "name one with #protocol");
}

static void read_table(struct measurement_reader *reader, const struct csv_rows *rows,
                       size_t header, struct measurement *measurement)
{
	if (header >= rows->count) {
		measurement_refuse_found(reader, 0, 0, "file", "no header row",
		                         "a row with the names of the columns below the settings",
		                         "add the header, at least with the column shot");
		return;
	}
	const struct csv_row *row = &rows->rows[header];
	if (row->broken) /* its fault was added; the rows cannot be read without it */
		return;
	struct column *columns = arena_allocate(reader->scratch, row->count * sizeof *columns);
	if (columns == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	measurement_read_header(reader, row, columns);
	measurement_read_rows(reader, columns, row->count, row + 1, rows->count - header - 1,
	                      measurement);
}

/* Reads with everything allocated. */
static void parse(struct measurement_reader *reader, const char *bytes, size_t length,
                  const struct protocol_finder *finder, struct measurement *measurement)
{
	struct csv_rows rows;
	size_t header = 0;
	char separator = measurement_separator(reader->file, bytes, length);
	if (separator == '\0') {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	measurement->separator = separator;
	reader->style.decimal_comma = separator != ',';
	if (csv_rows_read(reader->file, bytes, length, separator, CSV_ALL, reader->scratch, &rows,
	                  reader->faults) != STATUS_OK)
		return;
	while (header < rows.count && rows.rows[header].setting)
		header++;
	measurement_read_settings(reader, rows.rows, header);
	find_protocol(reader, finder);
	read_table(reader, &rows, header, measurement);
}

enum status measurement_file_parse(const char *file, const char *bytes, size_t length,
                                   const struct protocol_finder *finder,
                                   struct measurement *measurement,
                                   const struct protocol **protocol, struct fault_list *faults)
{
	size_t before = faults->count;
	struct arena *scratch = arena_create();
	memset(measurement, 0, sizeof *measurement);
	*protocol = NULL;
	measurement->arena = arena_create();
	if (measurement->arena != NULL)
		measurement->file = arena_copy(measurement->arena, file, strlen(file));
	if (measurement->file == NULL || scratch == NULL) {
		refusal_memory(file, faults);
	} else {
		measurement->session = session_default();
		disk_sha256(bytes, length, measurement->sha256);
		struct measurement_reader reader = {.file = file,
		                                    .arena = measurement->arena,
		                                    .scratch = scratch,
		                                    .faults = faults,
		                                    .session = &measurement->session,
		                                    .style = {.diamond_value = 1},
		                                    .table_known = true};
		parse(&reader, bytes, length, finder, measurement);
		*protocol = reader.protocol;
		fault_list_sort(faults);
	}
	arena_free(scratch);
	enum status status = refusal_status(faults, before);
	if (status != STATUS_OK)
		measurement_free(measurement);
	return status;
}

enum status measurement_file_read(const char *path, const struct protocol_finder *finder,
                                  struct measurement *measurement, const struct protocol **protocol,
                                  struct fault_list *faults)
{
	const char *bytes = NULL;
	size_t length = 0;
	memset(measurement, 0, sizeof *measurement);
	*protocol = NULL;
	struct arena *content = arena_create();
	enum status status = content == NULL ? refusal_memory(path, faults)
	                                     : disk_read(path, content, &bytes, &length, faults);
	if (status == STATUS_OK)
		status = measurement_file_parse(path, bytes, length, finder, measurement, protocol,
		                                faults);
	arena_free(content);
	return status;
}
