/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_TRACE_MARKS_H
#define RESTPOINT_REPORT_TRACE_MARKS_H

#include <stddef.h>

#include "report/drawing.h"
#include "shot/traced_shot.h"

/* Which events of a shot a drawing shows, and their numbers. Part of trace_drawing. */

struct trace_marks {
	size_t count;
	const struct trace_event *events[TRACE_EVENTS]; /* by time */
	int numbers[TRACE_EVENTS]; /* of contacts, from 1; 0: a rest */
};

/* Contacts and rests. Left out are the strike, contacts slower than SHOT_SLOW (balls that lie
 * against one another or against a rail and press a little) and landings from less than a
 * millimetre. */
void trace_marks_choose(const struct traced_shot *shot, struct trace_marks *marks);

/* Crosses the path at every contact and numbers it. */
void trace_marks_draw(struct drawing *drawing, const struct traced_shot *shot,
                      const struct trace_marks *marks);

/* The list of events, in columns under that height. */
void trace_marks_list(struct drawing *drawing, const struct trace_marks *marks, double top);

#endif
