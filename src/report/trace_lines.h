/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_TRACE_LINES_H
#define RESTPOINT_REPORT_TRACE_LINES_H

#include "base/status.h"
#include "report/drawing.h"
#include "shot/trace_path.h"

/* The path of a ball as lines. Part of trace_drawing. */

/* The line of a phase: heavy for sliding, thin for rolling, dashed for flying. */
struct canvas_pen trace_lines_pen(enum trace_phase phase);

/* Draws a path, with an arrow on each long leg between two contacts. STATUS_OK or
 * STATUS_SYSTEM. */
enum status trace_lines_draw(struct drawing *drawing, const struct trace_path *path);

#endif
