/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_TRACE_TEXT_H
#define RESTPOINT_REPORT_TRACE_TEXT_H

#include "base/text.h"
#include "report/trace_words.h"

/* Traced shots as comma-separated rows (RFC 4180) under one header, which restpoint-simulate(1)
 * explains: shot by shot first the path of each ball, a row for each point, then the events by
 * time. Every number reads back as the same double; a cell that does not apply is blank. */
void trace_text_print(const struct trace_set *set, struct text *out);

#endif
