/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_TRACE_WORDS_H
#define RESTPOINT_REPORT_TRACE_WORDS_H

#include <stdbool.h>

#include "model/constants.h"
#include "model/protocol.h"
#include "shot/traced_shot.h"
#include "table/table.h"

/* What every form of a trace has in common: what it is made from, and its words. */

/* Traced shots of one protocol on one table. */
struct trace_set {
	const struct protocol *protocol;
	const struct table *table;
	const struct constants *constants;
	const char *constants_source; /* the file that the constants come from, as given */
	size_t count;
	const struct traced_shot *shots;
};

/* "still", "spinning", "rolling", "sliding", "flying". */
const char *trace_phase_word(enum trace_phase phase);

/* "strike", "rail", "contact", "pocket", "leave", "bounce", "rest", "still". */
const char *trace_event_word(enum trace_event_kind kind);

/* A place in the numbers of the files: diamonds, and millimetres between ball and bed, exactly 0
 * while it lies there. */
struct trace_place {
	double along, across; /* long and short [diamonds] */
	double height;        /* [mm] */
};

/*   radius  of the ball [m] */
struct trace_place trace_place(const struct table *table, struct vector3 position, double radius);

/* How fast the centre is [m/s], in the air too. */
double trace_speed(const struct trace_point *point);

#endif
