/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_sheet.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "report/drawing.h"

#define A4_WIDTH 210.0
#define A4_HEIGHT 297.0
#define LETTER_WIDTH 215.9
#define LETTER_HEIGHT 279.4
#define ARROW 1.8
#define ARROW_HALF 0.5
#define SHORT_MEASURE 5.0
#define TAIL 3.5 /* of an arrow that stands outside */

void card_paper_size(enum card_paper paper, double *width, double *height)
{
	*width = paper == CARD_LETTER ? LETTER_WIDTH : A4_WIDTH;
	*height = paper == CARD_LETTER ? LETTER_HEIGHT : A4_HEIGHT;
}

struct card_sheet card_sheet_make(struct canvas *canvas, enum card_paper paper)
{
	struct card_sheet sheet = {.canvas = canvas};

	card_paper_size(paper, &sheet.width, &sheet.height);
	sheet.left = CARD_MARGIN;
	sheet.right = sheet.width - CARD_MARGIN;
	sheet.top = CARD_MARGIN;
	sheet.bottom = sheet.height - CARD_MARGIN;
	return sheet;
}

void card_line(const struct card_sheet *sheet, double x1, double y1, double x2, double y2,
               struct canvas_pen pen)
{
	if (!sheet->measuring)
		canvas_line(sheet->canvas, (struct canvas_point){x1, y1},
		            (struct canvas_point){x2, y2}, pen);
}

void card_box(const struct card_sheet *sheet, double left, double top, double right, double bottom,
              struct canvas_pen pen)
{
	struct canvas_point corners[] = {
	    {left, top}, {right, top}, {right, bottom}, {left, bottom}, {left, top}};

	if (!sheet->measuring)
		canvas_lines(sheet->canvas, corners, 5, pen);
}

void card_put(const struct card_sheet *sheet, double x, double y, double size,
              enum canvas_anchor anchor, bool bold, const char *words)
{
	if (sheet->measuring)
		return;
	canvas_bold(sheet->canvas, bold);
	canvas_words(sheet->canvas, (struct canvas_point){x, y}, size, anchor, words);
	canvas_bold(sheet->canvas, false);
}

/* The words of a line as they stand in a text, without a zero behind them. */
static double width_of(const struct card_sheet *sheet, double size, const char *words,
                       size_t length)
{
	struct text line = {0};
	double width;

	text_add_bytes(&line, words, length);
	width = canvas_words_width(sheet->canvas, size, text_bytes(&line));
	text_free(&line);
	return width;
}

/* How many bytes of a word have room: whole characters of UTF-8, at least one. */
static size_t cut_word(const struct card_sheet *sheet, double width, double size, const char *word,
                       size_t length)
{
	for (;;) {
		size_t shorter = length - 1;

		if (width_of(sheet, size, word, length) <= width)
			return length;
		while (shorter > 0 && ((unsigned char)word[shorter] & 0xC0) == 0x80)
			shorter--;
		if (shorter == 0)
			return length;
		length = shorter;
	}
}

/* How many bytes of the words go on one line. Widths add up, as letters are not moved together. */
static size_t fill_line(const struct card_sheet *sheet, double width, double size,
                        const char *words)
{
	size_t fits = 0;
	double used = 0.0;

	while (words[fits] != '\0') {
		size_t end = fits + strspn(words + fits, " ");

		end += strcspn(words + end, " ");
		used += width_of(sheet, size, words + fits, end - fits);
		if (used > width)
			return fits > 0 ? fits : cut_word(sheet, width, size, words, end);
		fits = end;
	}
	return fits;
}

static double set_lines(const struct card_sheet *sheet, double x, double y, double width,
                        double size, const char *words)
{
	words += strspn(words, " ");
	while (*words != '\0') {
		size_t length = fill_line(sheet, width, size, words);
		struct text line = {0};

		text_add_bytes(&line, words, length);
		y += CARD_LEADING * size;
		if (!sheet->measuring)
			canvas_words(sheet->canvas, (struct canvas_point){x, y - 0.3 * size}, size,
			             CANVAS_LEFT, text_bytes(&line));
		text_free(&line);
		words += length;
		words += strspn(words, " ");
	}
	return y;
}

double card_paragraph(const struct card_sheet *sheet, double x, double y, double width, double size,
                      bool bold, const char *words)
{
	struct text plain = {0};

	/* What a file says may hold line ends and tabs. */
	text_add(&plain, words);
	for (size_t i = 0; i < plain.length; i++)
		if ((unsigned char)plain.bytes[i] < ' ')
			plain.bytes[i] = ' ';
	canvas_bold(sheet->canvas, bold);
	y = set_lines(sheet, x, y, width, size, text_bytes(&plain));
	canvas_bold(sheet->canvas, false);
	text_free(&plain);
	return y;
}

double card_fitting_size(const struct card_sheet *sheet, double size, double width, bool bold,
                         const char *words)
{
	double wanted;

	canvas_bold(sheet->canvas, bold);
	wanted = canvas_words_width(sheet->canvas, size, words);
	canvas_bold(sheet->canvas, false);
	return wanted > width ? fmax(CARD_SMALL, size * width / wanted) : size;
}

/* An arrow whose point is at `tip` and that comes along (x, y). */
static void draw_arrow(const struct card_sheet *sheet, struct canvas_point tip, double x, double y)
{
	struct canvas_pen pen = {DRAWING_THIN, CANVAS_SOLID};
	struct canvas_point back = {tip.x - ARROW * x, tip.y - ARROW * y};

	card_line(sheet, back.x - ARROW_HALF * y, back.y + ARROW_HALF * x, tip.x, tip.y, pen);
	card_line(sheet, back.x + ARROW_HALF * y, back.y - ARROW_HALF * x, tip.x, tip.y, pen);
}

void card_measure(const struct card_sheet *sheet, struct canvas_point from, struct canvas_point to)
{
	struct canvas_pen pen = {DRAWING_THIN, CANVAS_SOLID};
	double length = hypot(to.x - from.x, to.y - from.y);
	double x, y, sign, tail;

	if (!(length > 0.0))
		return;
	x = (to.x - from.x) / length;
	y = (to.y - from.y) / length;
	sign = length < SHORT_MEASURE ? -1.0 : 1.0;
	tail = length < SHORT_MEASURE ? TAIL : 0.0;
	card_line(sheet, from.x - tail * x, from.y - tail * y, to.x + tail * x, to.y + tail * y,
	          pen);
	draw_arrow(sheet, to, sign * x, sign * y);
	draw_arrow(sheet, from, -sign * x, -sign * y);
}
