/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_DRAWING_LABELS_H
#define RESTPOINT_REPORT_DRAWING_LABELS_H

#include <stdbool.h>
#include <stddef.h>

#include "report/canvas.h"

/* Finds room for small words in a drawing, beside what they name and clear of lines and of one
 * another. Lengths in millimetres on the paper. */

#define LABEL_RIVALS 24

struct label_line {
	struct canvas_point from, to;
};

struct label_box {
	double left, top, right, bottom;
};

/* What is taken already. Set it to zero, but for the limits, to start; label_field_free at the
 * end. */
struct label_field {
	struct label_box limits; /* labels stay inside */
	size_t line_count, line_capacity;
	struct label_line *lines;
	size_t box_count, box_capacity;
	struct label_box *boxes;
	size_t rival_count;
	struct canvas_point rivals[LABEL_RIVALS]; /* what else a label could be taken to name */
	bool memory_out; /* something could not be kept: labels may lie upon it */
};

void label_field_free(struct label_field *field);
void label_field_add_line(struct label_field *field, struct canvas_point from,
                          struct canvas_point to);
/* The outline of a circle; inside there is room. */
void label_field_add_circle(struct label_field *field, struct canvas_point centre, double radius);
void label_field_add_box(struct label_field *field, struct label_box box);

/* Adds a rival while there is room. */
void label_field_add_rival(struct label_field *field, struct canvas_point at);

/* Takes the best place for a label of that size near a point: the one that covers least, and among
 * such the nearest; if it can be, clearly nearer to the point than to any rival.
 *   clear  least distance between the point and the label
 *   far    receives whether the label lies so far off that a line should lead to it */
struct label_box label_field_place(struct label_field *field, struct canvas_point at, double width,
                                   double height, double clear, bool *far);

#endif
