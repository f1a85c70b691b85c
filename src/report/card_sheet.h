/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_SHEET_H
#define RESTPOINT_REPORT_CARD_SHEET_H

#include <stdbool.h>

#include "report/canvas.h"

/* A sheet of a card and how it is set: type, paragraphs, lines with their measures. Lengths in
 * millimetres on the paper. Part of report/card. */

enum card_paper { CARD_A4, CARD_LETTER };

struct card_sheet {
	struct canvas *canvas;
	double width, height;            /* of the paper */
	double left, right, top, bottom; /* within the margins */
	bool measuring; /* nothing is drawn: only how far it would reach is wanted */
};

#define CARD_MARGIN 10.5

/* Sizes of type; 1 mm is 2.83 points. The smallest is 9 points. */
#define CARD_SMALL 3.2
#define CARD_BODY 3.55
#define CARD_KEY 4.6
#define CARD_TITLE 6.0

/* From base line to base line, as a part of the size. */
#define CARD_LEADING 1.32

struct card_sheet card_sheet_make(struct canvas *canvas, enum card_paper paper);

/* Width and height of a paper, standing. */
void card_paper_size(enum card_paper paper, double *width, double *height);

void card_line(const struct card_sheet *sheet, double x1, double y1, double x2, double y2,
               struct canvas_pen pen);
void card_box(const struct card_sheet *sheet, double left, double top, double right, double bottom,
              struct canvas_pen pen);
void card_put(const struct card_sheet *sheet, double x, double y, double size,
              enum canvas_anchor anchor, bool bold, const char *words);

/* Words in lines of at most that width, broken at blanks (and inside of a word only where that
 * alone is wider), the first with its top at y. Returns where the next paragraph begins. */
double card_paragraph(const struct card_sheet *sheet, double x, double y, double width, double size,
                      bool bold, const char *words);

/* The largest size, at most the one given and at least CARD_SMALL, at which words fit into a
 * width. */
double card_fitting_size(const struct card_sheet *sheet, double size, double width, bool bold,
                         const char *words);

/* A line of measure between two points, with an arrow at each end: outside and pointing inward where
 * it is short. */
void card_measure(const struct card_sheet *sheet, struct canvas_point from, struct canvas_point to);

#endif
