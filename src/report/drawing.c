/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/drawing.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

#define MILLIMETRES 1000.0 /* in a metre */
#define TICK 1.8
#define TABLE_TOP 26.0 /* of the outer line */
#define TABLE_LENGTH_MOST 257.0
#define TABLE_WIDTH_MOST 130.0
#define BAR 0.5 /* [m] */
#define BAR_PARTS 5

double drawing_round_scale(const struct table *table, double length_most, double width_most)
{
	static const double round[] = {5,  6,  8,  10, 12, 14, 15, 16, 17, 18, 19,
	                               20, 21, 22, 24, 25, 28, 30, 35, 40, 50, 60};
	size_t i = 0;

	while (i + 1 < sizeof(round) / sizeof(round[0]) &&
	       (table->length * MILLIMETRES / round[i] > length_most ||
	        table->width * MILLIMETRES / round[i] > width_most))
		i++;
	return round[i];
}

static void choose_scale(struct drawing *drawing)
{
	const struct table *table = drawing->table;

	drawing->denominator = drawing_round_scale(table, TABLE_LENGTH_MOST, TABLE_WIDTH_MOST);
	drawing->scale = MILLIMETRES / drawing->denominator;
	drawing->corner.x = 0.5 * (DRAWING_WIDTH - drawing->scale * table->length);
	drawing->corner.y = TABLE_TOP + DRAWING_BAND;
	drawing->below = drawing->corner.y + drawing->scale * table->width + DRAWING_BAND;
}

struct canvas_point drawing_place(const struct drawing *drawing, struct vector3 position)
{
	if (drawing->standing)
		return (struct canvas_point){drawing->corner.x + drawing->scale * position.x,
		                             drawing->corner.y - drawing->scale * position.y};
	return (struct canvas_point){drawing->corner.x + drawing->scale * position.y,
	                             drawing->corner.y + drawing->scale * position.x};
}

/* A place on or behind the nose line of a rail: along it [m], and mm behind it on the paper. */
static struct canvas_point rail_place(const struct drawing *drawing, enum rail rail, double along,
                                      double behind)
{
	const struct table *table = drawing->table;
	bool is_long = rail_is_long(rail), is_far = rail == RAIL_RIGHT || rail == RAIL_FOOT;
	double x = rail == RAIL_RIGHT ? table->width : 0.0;
	double y = rail == RAIL_FOOT ? table->length : 0.0;
	struct canvas_point at =
	    drawing_place(drawing, is_long ? vector3_make(x, along, 0.0)
	                                   : vector3_make(along, y, 0.0));

	if (drawing->standing && is_long)
		at.x += is_far ? behind : -behind;
	else if (drawing->standing)
		at.y += is_far ? -behind : behind;
	else if (is_long)
		at.y += is_far ? behind : -behind;
	else
		at.x += is_far ? behind : -behind;
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

		canvas_line(drawing->canvas, rail_place(drawing, rail, along, DRAWING_BAND - TICK),
		            rail_place(drawing, rail, along, DRAWING_BAND),
		            (struct canvas_pen){DRAWING_THIN, CANVAS_SOLID});
		centred_words(drawing, rail_place(drawing, rail, along, DRAWING_NUMBERS),
		              drawing->type, number);
	}
}

/* Between two diamonds. On a sheet that lies the short rails take two lines, as there is no room for
 * one; on one that stands the name alone is enough. */
static void name_rail(struct drawing *drawing, enum rail rail)
{
	const struct table *table = drawing->table;
	bool is_long = rail_is_long(rail);
	double along = is_long ? 4.5 / TABLE_DIAMONDS_LONG * table->length
	                       : 2.5 / TABLE_DIAMONDS_SHORT * table->width;
	struct canvas_point at = rail_place(drawing, rail, along, 0.5 * DRAWING_BAND);

	if (drawing->standing) {
		if (!is_long)
			at = rail_place(drawing, rail, along, DRAWING_NUMBERS);
		centred_words(drawing, at, drawing->type, rail_name(rail));
	} else if (is_long) {
		at = rail_place(drawing, rail, along, DRAWING_NUMBERS);
		centred_words(drawing, at, drawing->type,
		              rail == RAIL_LEFT ? "left rail" : "right rail");
	} else {
		at.y -= 0.7 * drawing->type;
		centred_words(drawing, at, drawing->type, rail_name(rail));
		at.y += 1.4 * drawing->type;
		centred_words(drawing, at, drawing->type, "rail");
	}
}

static void draw_outer_line(struct drawing *drawing)
{
	const struct table *table = drawing->table;
	struct canvas_point low = drawing_place(drawing, vector3_make(0.0, 0.0, 0.0));
	struct canvas_point high =
	    drawing_place(drawing, vector3_make(table->width, table->length, 0.0));
	double left = fmin(low.x, high.x) - DRAWING_BAND, right = fmax(low.x, high.x) + DRAWING_BAND;
	double top = fmin(low.y, high.y) - DRAWING_BAND, bottom = fmax(low.y, high.y) + DRAWING_BAND;
	struct canvas_point corners[] = {
	    {left, top}, {right, top}, {right, bottom}, {left, bottom}, {left, top}};

	canvas_lines(drawing->canvas, corners, 5, (struct canvas_pen){DRAWING_HAIR, CANVAS_SOLID});
	drawing->labels.limits =
	    (struct label_box){left + TICK, top + TICK, right - TICK, bottom - TICK};
}

void drawing_table(struct drawing *drawing)
{
	draw_outer_line(drawing);
	draw_noses(drawing);
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		draw_diamonds(drawing, (enum rail)rail);
		name_rail(drawing, (enum rail)rail);
	}
}

enum status drawing_start(struct drawing *drawing, enum canvas_format format,
                          const struct table *table)
{
	struct canvas *canvas = canvas_create(format, DRAWING_WIDTH, DRAWING_HEIGHT);

	*drawing = (struct drawing){.table = table};
	if (canvas == NULL)
		return STATUS_SYSTEM;
	drawing_begin(drawing, canvas, table);
	return STATUS_OK;
}

void drawing_begin(struct drawing *drawing, struct canvas *canvas, const struct table *table)
{
	*drawing = (struct drawing){.canvas = canvas, .table = table, .type = DRAWING_TEXT};
	choose_scale(drawing);
	drawing_table(drawing);
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
