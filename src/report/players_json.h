/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PLAYERS_JSON_H
#define RESTPOINT_REPORT_PLAYERS_JSON_H

#include "estimate/fit.h"
#include "files/json_text.h"

/* "players", one object for each player of each file of a fit; nothing where none were asked for. */
void players_json_write(const struct fit_result *fit, struct json_writer *writer);

#endif
