/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_TABLE_SKETCH_H
#define RESTPOINT_REPORT_TABLE_SKETCH_H

#include "base/status.h"
#include "base/text.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* A shot drawn with characters, for a terminal: the table lies with the head at the left and the
 * foot at the right, so that the left rail is above; diamonds are numbered, balls are letters, the
 * line of aim is dotted. ASCII alone. Beside it stand the balls with their places. */

#define TABLE_SKETCH_ROWS 10    /* lines */
#define TABLE_SKETCH_COLUMNS 80 /* at most */

/* Adds the lines. STATUS_OK; STATUS_INPUT when the shot cannot stand on that table, with a static
 * sentence in *why and nothing added. */
enum status table_sketch_print(const struct shot_design *design, const struct session *session,
                               struct text *out, const char **why);

/* The letter of a ball: C, O, 2. */
char table_sketch_letter(enum ball_role role);

#endif
