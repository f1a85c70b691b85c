/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_TABLE_TEXT_H
#define RESTPOINT_REPORT_TABLE_TEXT_H

#include "base/text.h"
#include "files/json_text.h"
#include "table/table.h"

/* A table as a few facts, each on a line of paragraph_fact with names of `width` columns: size,
 * balls, nose height, sight marks, pockets. Assumed numbers are marked. */
void table_text_print(const struct table *table, size_t width, struct text *out);

/* The same as members of the JSON object that is open: lengths in metres, masses in kilograms, and
 * an array "assumed" of the keys that are assumed. */
void table_json_members(const struct table *table, struct json_writer *writer);

/* All presets with sources, and as one JSON object of format "restpoint-tables". */
void tables_text_print(struct text *out);
void tables_json_print(struct text *out);

#endif
