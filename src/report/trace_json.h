/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_TRACE_JSON_H
#define RESTPOINT_REPORT_TRACE_JSON_H

#include "base/text.h"
#include "report/trace_words.h"

/* Traced shots as one JSON object of format "restpoint-trace", version 1, which
 * restpoint-simulate(1) explains. Every number reads back as the same double; a key that does not
 * apply is left out. */
void trace_json_print(const struct trace_set *set, struct text *out);

#endif
