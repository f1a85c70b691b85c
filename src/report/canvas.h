/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CANVAS_H
#define RESTPOINT_REPORT_CANVAS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "base/text.h"

/* A sheet of paper to draw on in black: lines, circles, hatching, words. All lengths in millimetres
 * on the paper, x to the right and y down from the upper left corner. The only file of the program
 * that knows the drawing library is canvas.c. */

enum canvas_format {
	CANVAS_SVG,
	CANVAS_PNG, /* CANVAS_PNG_DPI dots per inch, black on white */
	CANVAS_PDF /* the only one with several sheets */
};

#define CANVAS_PNG_DPI 200

struct canvas;

struct canvas_point {
	double x, y;
};

enum canvas_dash { CANVAS_SOLID, CANVAS_DASHED, CANVAS_DOTTED };

/* How a line is drawn. */
struct canvas_pen {
	double weight; /* width of the line */
	enum canvas_dash dash;
};

enum canvas_anchor { CANVAS_LEFT, CANVAS_CENTRE, CANVAS_RIGHT };

/* Height of a capital letter or a digit as a part of the size of its type. */
#define CANVAS_CAPITAL 0.73

/* An empty sheet; NULL when memory is out. */
struct canvas *canvas_create(enum canvas_format format, double width, double height);

/* Ends this sheet and goes on with the next of the same size. For CANVAS_PDF alone. */
void canvas_next_sheet(struct canvas *canvas);

/* Joins points by straight lines, with round ends. Fewer than 2 points draw nothing. */
void canvas_lines(struct canvas *canvas, const struct canvas_point *points, size_t count,
                  struct canvas_pen pen);
void canvas_line(struct canvas *canvas, struct canvas_point from, struct canvas_point to,
                 struct canvas_pen pen);

void canvas_circle(struct canvas *canvas, struct canvas_point centre, double radius,
                   struct canvas_pen pen);

/* Fills a circle with slanting lines, `spacing` apart. */
void canvas_hatch(struct canvas *canvas, struct canvas_point centre, double radius, double spacing,
                  struct canvas_pen pen);

/* Fills a polygon with lines of that slant, `spacing` apart.
 *   slant  of the lines against the horizontal, counter-clockwise as seen [rad] */
void canvas_hatch_polygon(struct canvas *canvas, const struct canvas_point *corners, size_t count,
                          double spacing, double slant, struct canvas_pen pen);

/* Makes a box white again. */
void canvas_blank(struct canvas *canvas, struct canvas_point upper_left,
                  struct canvas_point lower_right);

/* Whether the words that follow are in bold type; they are not at the start. */
void canvas_bold(struct canvas *canvas, bool bold);

/* Writes UTF-8 words in one line, the machine's plain sans-serif type.
 *   at    where the base line begins, has its middle, or ends
 *   size  of the type */
void canvas_words(struct canvas *canvas, struct canvas_point at, double size,
                  enum canvas_anchor anchor, const char *words);

/* How wide words are in that size. */
double canvas_words_width(struct canvas *canvas, double size, const char *words);

/* Adds the finished drawing to `out` and gives the canvas back. The same calls give the same bytes
 * on one machine. STATUS_OK; STATUS_SYSTEM when memory was out or the library failed. */
enum status canvas_finish(struct canvas *canvas, struct text *out);

#endif
