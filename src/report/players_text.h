/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PLAYERS_TEXT_H
#define RESTPOINT_REPORT_PLAYERS_TEXT_H

#include "base/text.h"
#include "estimate/fit.h"
#include "files/json_text.h"

/* How the players of a fit strike: how well they repeat a stroke, how far they are off the design. */

/* As text: a heading and a sentence for each number that the strokes tell. */
void players_text_print(const struct fit_result *fit, struct text *out);

/* As JSON: "players", one object for each player of each file. */
void players_text_json(const struct fit_result *fit, struct json_writer *writer);

#endif
