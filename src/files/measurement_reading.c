/* SPDX-License-Identifier: GPL-3.0-or-later */

/* One reading by itself, as a person types it at a prompt. */
#include <string.h>

#include "files/measurement_file.h"
#include "files/measurement_read.h"
#include "files/refusal.h"
#include "files/utf8.h"

/* Reads the text into the row of a reader that has everything. */
static void read_text(struct measurement_reader *reader, const struct shot_design *design,
                      int quantity, const char *text, struct stroke_row *row)
{
	struct csv_cell cell = {.text = text, .length = strlen(text)};
	size_t before = reader->faults->count;

	if (utf8_first_bad(text, cell.length) < cell.length) {
		measurement_refuse_found(
		    reader, 0, 0, quantity_name(quantity), "a character that cannot be shown",
		    "digits, and the words that the help lists", "type it again");
		return;
	}
	row->readings[quantity] = (struct reading){.kind = READING_MISSING};
	measurement_read_quantity(reader, &cell, 0, quantity, design, row);
	if (reader->faults->count == before)
		measurement_check_row(reader, row);
}

enum status measurement_reading_read(const struct session *session,
                                     const struct shot_design *design, int quantity,
                                     const char *text, struct stroke_row *row,
                                     struct fault_list *faults)
{
	struct session settings = *session;
	struct stroke_row changed = *row;
	size_t before = faults->count;
	struct arena *scratch = arena_create();
	enum status status;

	if (scratch == NULL)
		return refusal_memory(NULL, faults);
	struct measurement_reader reader = {
	    .arena = scratch,
	    .scratch = scratch,
	    .faults = faults,
	    .session = &settings,
	    .style = {.decimal_comma = true, .diamond_value = session->diamond_value},
	    .table_known = true};
	read_text(&reader, design, quantity, text, &changed);
	arena_free(scratch);
	status = refusal_status(faults, before);
	if (status == STATUS_OK)
		row->readings[quantity] = changed.readings[quantity];
	return status;
}
