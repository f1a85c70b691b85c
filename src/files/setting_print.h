/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_SETTING_PRINT_H
#define RESTPOINT_FILES_SETTING_PRINT_H

#include "base/text.h"
#include "model/measurement.h"

/* Adds a cell, in double quotes where the text needs them. */
void setting_print_cell(struct text *out, const char *value);

/* Adds a comma and the cell; NULL is a blank one. */
void setting_print_next_cell(struct text *out, const char *value);

/* Adds the settings rows: the table, and what differs from the default. */
void setting_print_all(struct text *out, const struct session *session);

#endif
