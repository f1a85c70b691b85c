/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_TRACE_DRAWING_H
#define RESTPOINT_REPORT_TRACE_DRAWING_H

#include "base/status.h"
#include "base/text.h"
#include "report/canvas.h"
#include "report/trace_words.h"

/* One traced shot as a drawing to scale on a sheet of A4: paths, heavy where a ball slides, thin
 * where it rolls, dashed where it flies; contacts as cross-ticks numbered by time, with a list of
 * what happened below; balls where they start and where they stop.
 *   shot  of the set
 * STATUS_OK; STATUS_SYSTEM when memory was out. */
enum status trace_drawing_print(const struct trace_set *set, const struct traced_shot *shot,
                                enum canvas_format format, struct text *out);

#endif
