/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_DRAWING_H
#define RESTPOINT_REPORT_DRAWING_H

#include <stdbool.h>

#include "base/vector.h"
#include "report/canvas.h"
#include "report/drawing_labels.h"
#include "table/table.h"

/* The plan of a table to a round scale. On a sheet of A4 lying the head rail is to the left and the
 * left rail above, as seen by who shoots from the head and turns the sheet; standing, the head rail is
 * below, as the table lies before that player. Black lines, the heavier the nearer to the play. Lengths
 * on the paper in millimetres. */

#define DRAWING_WIDTH 297.0
#define DRAWING_HEIGHT 210.0
#define DRAWING_LEFT 11.5  /* of what is written above and below the table */
#define DRAWING_RIGHT 285.5

/* Sizes of type. */
#define DRAWING_TITLE 4.4
#define DRAWING_TEXT 2.5

/* Weights of lines. */
#define DRAWING_HAIR 0.13
#define DRAWING_THIN 0.25
#define DRAWING_MIDDLE 0.4
#define DRAWING_HEAVY 0.75

/* Between the noses and the outer line. */
#define DRAWING_BAND 10.0
#define DRAWING_NUMBERS 6.4 /* from the nose to the middle of the diamonds' numbers */

struct drawing {
	struct canvas *canvas;
	const struct table *table;
	double denominator;         /* the scale is 1 to this */
	double scale;               /* mm on the paper for a metre */
	bool standing;              /* the head rail below, not to the left */
	double type;                /* size of the words on the table */
	struct canvas_point corner; /* of the head and left noses */
	double below;               /* what is written below the table begins here */
	struct label_field labels;
};

/* Starts a drawing with the table on it. STATUS_OK; STATUS_SYSTEM when memory is out. Finish it
 * with drawing_finish in any case. */
enum status drawing_start(struct drawing *drawing, enum canvas_format format,
                          const struct table *table);

/* The same on an empty sheet of DRAWING_WIDTH and DRAWING_HEIGHT, which may be one of several. Give
 * drawing->labels back with label_field_free; the canvas stays with the caller. */
void drawing_begin(struct drawing *drawing, struct canvas *canvas, const struct table *table);

/* Draws the table on a canvas that is there already: with canvas, table, denominator, scale, standing,
 * type and corner set and the rest zero. Labels then are to stay within its outer line. */
void drawing_table(struct drawing *drawing);

/* The largest round scale, 1 to this, at which a table has room between the noses. */
double drawing_round_scale(const struct table *table, double length_most, double width_most);

/* Adds the finished sheet to `out`. STATUS_OK or STATUS_SYSTEM. */
enum status drawing_finish(struct drawing *drawing, struct text *out);

/* Where a place on the bed [m] lies on the paper. */
struct canvas_point drawing_place(const struct drawing *drawing, struct vector3 position);

/* Words that begin at a point and are at most so wide: where they are wider, in smaller type, and
 * at last cut with three dots. */
void drawing_words_within(struct drawing *drawing, struct canvas_point at, double size,
                          double width, const char *words);

/* A bar of half a metre, and the scale in words; `at`: the left end of the bar. Returns where it
 * ends to the right. */
double drawing_scale_bar(struct drawing *drawing, struct canvas_point at);

#endif
