/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PROTOCOL_TEXT_H
#define RESTPOINT_REPORT_PROTOCOL_TEXT_H

#include <stddef.h>

#include "base/text.h"
#include "model/protocol.h"

/* A protocol in full, as a player reads it: for each shot where the balls stand, the aim, the
 * stroke, what to read and what to time, with the column of the measurement file for each. */
void protocol_text_print(const struct protocol *protocol, struct text *out);

/* One shot of it, with its number from 1. */
void protocol_text_shot(const struct shot_design *shot, size_t number, struct text *out);

/* Protocols by name with title, expected minutes, kit and number of strokes; folder is where they
 * are installed. As text, and as one JSON object of format "restpoint-protocols". */
void protocol_list_text(const struct protocol *const *protocols, size_t count, const char *folder,
                        struct text *out);
void protocol_list_json(const struct protocol *const *protocols, size_t count, const char *folder,
                        struct text *out);

/* Strokes of all its shots. */
int protocol_strokes(const struct protocol *protocol);

#endif
