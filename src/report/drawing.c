/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/drawing.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

#define MILLIMETRES 1000.0 /* in a metre */
#define BAND 10.0          /* between the noses and the outer line, on the paper */
#define TICK 1.8
#define TABLE_TOP 26.0 /* of the outer line */
#define TABLE_LENGTH_MOST 257.0
#define TABLE_WIDTH_MOST 130.0
#define NUMBERS_FROM_NOSE 6.4 /* to the middle of the diamonds' numbers */
#define BAR 0.5 /* [m] */
#define BAR_PARTS 5

static void choose_scale(struct drawing *drawing)
{
	static const double round[] = {5, 6, 8, 10, 12, 15, 16, 20, 25, 30, 40, 50};
	const struct table *table = drawing->table;
	size_t i = 0;

	while (i + 1 < sizeof(round) / sizeof(round[0]) &&
	       (table->length * MILLIMETRES / round[i] > TABLE_LENGTH_MOST ||
	        table->width * MILLIMETRES / round[i] > TABLE_WIDTH_MOST))
		i++;
	drawing->denominator = round[i];
	drawing->scale = MILLIMETRES / round[i];
	drawing->corner.x = 0.5 * (DRAWING_WIDTH - drawing->scale * table->length);
	drawing->corner.y = TABLE_TOP + BAND;
	drawing->below = drawing->corner.y + drawing->scale * table->width + BAND;
}

struct canvas_point drawing_place(const struct drawing *drawing, struct vector3 position)
{
	return (struct canvas_point){drawing->corner.x + drawing->scale * position.y,
	                             drawing->corner.y + drawing->scale * position.x};
}

/* A place on or behind the nose line of a rail: along it [m], and mm behind it on the paper. */
static struct canvas_point rail_place(const struct drawing *drawing, enum rail rail, double along,
                                      double behind)
{
	const struct table *table = drawing->table;
	bool is_long = rail_is_long(rail);
	double x = rail == RAIL_RIGHT ? table->width : 0.0;
	double y = rail == RAIL_FOOT ? table->length : 0.0;
	struct canvas_point at =
	    drawing_place(drawing, is_long ? vector3_make(x, along, 0.0)
	                                   : vector3_make(along, y, 0.0));

	if (is_long)
		at.y += rail == RAIL_RIGHT ? behind : -behind;
	else
		at.x += rail == RAIL_FOOT ? behind : -behind;
	return at;
}

static void draw_nose(struct drawing *drawing, enum rail rail, double from, double to)
{
	struct canvas_pen pen = {DRAWING_MIDDLE + 0.1, CANVAS_SOLID};
	struct canvas_point first = rail_place(drawing, rail, from, 0.0);
	struct canvas_point last = rail_place(drawing, rail, to, 0.0);

	canvas_line(drawing->canvas, first, last, pen);
	label_field_add_line(&drawing->labels, first, last);
}

/* A pocket is a gap in the line. */
static void draw_noses(struct drawing *drawing)
{
	const struct table *table = drawing->table;
	double corner = table->pockets ? table->corner_mouth : 0.0;

	for (int i = 0; i < RAIL_COUNT; i++) {
		enum rail rail = (enum rail)i;
		double end = rail_is_long(rail) ? table->length : table->width;

		if (table->pockets && rail_is_long(rail)) {
			draw_nose(drawing, rail, corner, 0.5 * end - table->side_mouth);
			draw_nose(drawing, rail, 0.5 * end + table->side_mouth, end - corner);
		} else {
			draw_nose(drawing, rail, corner, end - corner);
		}
	}
}

/* Words with their middle at a point. */
static void centred_words(struct drawing *drawing, struct canvas_point at, double size,
                          const char *words)
{
	double width = canvas_words_width(drawing->canvas, size, words);
	double half = 0.5 * CANVAS_CAPITAL * size;

	canvas_words(drawing->canvas, (struct canvas_point){at.x, at.y + half}, size,
	             CANVAS_CENTRE, words);
	label_field_add_box(&drawing->labels,
	                    (struct label_box){at.x - 0.5 * width, at.y - half,
	                                       at.x + 0.5 * width, at.y + half});
}

static void draw_diamonds(struct drawing *drawing, enum rail rail)
{
	bool is_long = rail_is_long(rail);
	int count = (int)(is_long ? TABLE_DIAMONDS_LONG : TABLE_DIAMONDS_SHORT);
	double end = is_long ? drawing->table->length : drawing->table->width;

	for (int i = 0; i <= count; i++) {
		double along = end * i / count;
		char number[] = {(char)('0' + i), '\0'};

		canvas_line(drawing->canvas, rail_place(drawing, rail, along, BAND - TICK),
		            rail_place(drawing, rail, along, BAND),
		            (struct canvas_pen){DRAWING_THIN, CANVAS_SOLID});
		centred_words(drawing, rail_place(drawing, rail, along, NUMBERS_FROM_NOSE),
		              DRAWING_TEXT, number);
	}
}

/* Between two diamonds; on the short rails in two lines, as there is no room for one. */
static void name_rail(struct drawing *drawing, enum rail rail)
{
	const struct table *table = drawing->table;
	struct canvas_point at;

	if (rail_is_long(rail)) {
		at = rail_place(drawing, rail, 4.5 / TABLE_DIAMONDS_LONG * table->length,
		                NUMBERS_FROM_NOSE);
		centred_words(drawing, at, DRAWING_TEXT,
		              rail == RAIL_LEFT ? "left rail" : "right rail");
		return;
	}
	at = rail_place(drawing, rail, 2.5 / TABLE_DIAMONDS_SHORT * table->width, 0.5 * BAND);
	at.y -= 0.7 * DRAWING_TEXT;
	centred_words(drawing, at, DRAWING_TEXT, rail_name(rail));
	at.y += 1.4 * DRAWING_TEXT;
	centred_words(drawing, at, DRAWING_TEXT, "rail");
}

static void draw_outer_line(struct drawing *drawing)
{
	struct canvas_point low = rail_place(drawing, RAIL_HEAD, 0.0, BAND);
	struct canvas_point high = rail_place(drawing, RAIL_FOOT, drawing->table->width, BAND);
	double top = low.y - BAND, bottom = high.y + BAND;
	struct canvas_point corners[] = {
	    {low.x, top}, {high.x, top}, {high.x, bottom}, {low.x, bottom}, {low.x, top}};

	canvas_lines(drawing->canvas, corners, 5, (struct canvas_pen){DRAWING_HAIR, CANVAS_SOLID});
	drawing->labels.limits = (struct label_box){low.x + TICK, top + TICK, high.x - TICK,
	                                            bottom - TICK};
}

enum status drawing_start(struct drawing *drawing, enum canvas_format format,
                          const struct table *table)
{
	*drawing = (struct drawing){.table = table};
	drawing->canvas = canvas_create(format, DRAWING_WIDTH, DRAWING_HEIGHT);
	if (drawing->canvas == NULL)
		return STATUS_SYSTEM;
	choose_scale(drawing);
	draw_outer_line(drawing);
	draw_noses(drawing);
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		draw_diamonds(drawing, (enum rail)rail);
		name_rail(drawing, (enum rail)rail);
	}
	return STATUS_OK;
}

enum status drawing_finish(struct drawing *drawing, struct text *out)
{
	bool memory_out = drawing->labels.memory_out;
	enum status status = STATUS_SYSTEM;

	label_field_free(&drawing->labels);
	if (drawing->canvas != NULL)
		status = canvas_finish(drawing->canvas, out);
	drawing->canvas = NULL;
	return memory_out ? STATUS_SYSTEM : status;
}

/* Takes the last character of UTF-8 words away. */
static void shorten(struct text *words)
{
	while (words->length > 0) {
		bool goes_on = ((unsigned char)words->bytes[words->length - 1] & 0xC0) == 0x80;

		words->bytes[--words->length] = '\0';
		if (!goes_on)
			return;
	}
}

void drawing_words_within(struct drawing *drawing, struct canvas_point at, double size,
                          double width, const char *words)
{
	double least = fmin(size, 0.9 * DRAWING_TEXT);
	double wanted = canvas_words_width(drawing->canvas, size, words);
	struct text cut = {0};

	if (wanted > width)
		size = fmax(least, size * width / wanted);
	if (canvas_words_width(drawing->canvas, size, words) <= width * (1.0 + 1e-9)) {
		canvas_words(drawing->canvas, at, size, CANVAS_LEFT, words);
		return;
	}
	width -= canvas_words_width(drawing->canvas, size, "...");
	text_add(&cut, words);
	while (!cut.failed && cut.length > 0 &&
	       canvas_words_width(drawing->canvas, size, cut.bytes) > width)
		shorten(&cut);
	text_add(&cut, "...");
	canvas_words(drawing->canvas, at, size, CANVAS_LEFT, text_bytes(&cut));
	drawing->labels.memory_out = drawing->labels.memory_out || cut.failed;
	text_free(&cut);
}

double drawing_scale_bar(struct drawing *drawing, struct canvas_point at)
{
	struct canvas_pen pen = {DRAWING_THIN, CANVAS_SOLID};
	double length = BAR * drawing->scale, baseline = at.y + 0.5 * CANVAS_CAPITAL * DRAWING_TEXT;
	struct canvas_point end = {at.x + length, at.y};
	struct text words = {0};

	canvas_line(drawing->canvas, at, end, pen);
	for (int i = 0; i <= BAR_PARTS; i++) {
		double half = i % BAR_PARTS == 0 ? 1.4 : 0.8;
		double x = at.x + length * i / BAR_PARTS;

		canvas_line(drawing->canvas, (struct canvas_point){x, at.y - half},
		            (struct canvas_point){x, at.y + half}, pen);
	}
	text_print(&words, "0.5 m; scale 1:%d on A4", (int)drawing->denominator);
	canvas_words(drawing->canvas, (struct canvas_point){end.x + 2.0, baseline}, DRAWING_TEXT,
	             CANVAS_LEFT, text_bytes(&words));
	end.x += 2.0 + canvas_words_width(drawing->canvas, DRAWING_TEXT, text_bytes(&words));
	text_free(&words);
	return end.x;
}
