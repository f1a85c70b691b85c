/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_area.h"

#include <math.h>
#include <stdlib.h>

#include "report/card_words.h"

#define HATCH 1.5      /* from line to line */
#define STRIP 2.4      /* depth of the hatched strip at a rail */
#define LEAST_AREA 1.2 /* half the size at which a small area is drawn */
#define LABEL_CLEAR 0.8
#define LABEL_WHITE 0.5 /* around the words */

static const struct canvas_pen hair = {DRAWING_HAIR, CANVAS_SOLID};
static const struct canvas_pen thin = {DRAWING_THIN, CANVAS_SOLID};

static struct canvas_point place_flat(const struct drawing *drawing, double x, double y)
{
	return drawing_place(drawing, vector3_make(x, y, 0.0));
}

/* A thin line from words that lie far off to what they name. */
static void draw_leader(struct drawing *drawing, const struct label_box *box,
                        struct canvas_point at)
{
	struct canvas_point from = {fmax(box->left, fmin(box->right, at.x)),
	                            fmax(box->top, fmin(box->bottom, at.y))};

	canvas_line(drawing->canvas, from, at, hair);
	label_field_add_line(&drawing->labels, from, at);
}

void card_label(struct drawing *drawing, struct canvas_point at, double clear, const char *words)
{
	double width = canvas_words_width(drawing->canvas, drawing->type, words);
	double height = CANVAS_CAPITAL * drawing->type;
	bool far;
	struct label_box box =
	    label_field_place(&drawing->labels, at, width, height, clear + LABEL_CLEAR, &far);

	if (far)
		draw_leader(drawing, &box, at);
	canvas_blank(drawing->canvas,
	             (struct canvas_point){box.left - LABEL_WHITE, box.top - LABEL_WHITE},
	             (struct canvas_point){box.right + LABEL_WHITE, box.bottom + LABEL_WHITE});
	canvas_words(drawing->canvas, (struct canvas_point){box.left, box.bottom}, drawing->type,
	             CANVAS_LEFT, words);
}

/* The corners of an outline on the paper; one that is smaller than can be seen becomes a square
 * about its middle. *count receives their number. */
static struct canvas_point *outline_corners(const struct drawing *drawing,
                                            const struct outline *outline, size_t *count)
{
	struct canvas_point *corners = calloc(outline->count + 5, sizeof *corners);
	struct outline_box box = outline_extent(outline);
	struct canvas_point low = place_flat(drawing, box.left, box.low);
	struct canvas_point high = place_flat(drawing, box.right, box.high);
	double x = 0.5 * (low.x + high.x), y = 0.5 * (low.y + high.y);
	double wide = 0.5 * (high.x - low.x), tall = 0.5 * (low.y - high.y);

	if (corners == NULL)
		return NULL;
	*count = outline->count;
	for (size_t i = 0; i < outline->count; i++)
		corners[i] = place_flat(drawing, outline->corners[i].x, outline->corners[i].y);
	if (outline->count >= 3 && wide >= LEAST_AREA && tall >= LEAST_AREA)
		return corners;
	wide = fmax(wide, LEAST_AREA);
	tall = fmax(tall, LEAST_AREA);
	*count = 4;
	for (int i = 0; i < 4; i++)
		corners[i] = (struct canvas_point){x + (i == 0 || i == 3 ? -wide : wide),
		                                   y + (i < 2 ? -tall : tall)};
	return corners;
}

static enum status draw_area(struct drawing *drawing, const struct shot_card *card,
                             enum ball_role ball)
{
	const struct outline *outline = &card->area.balls[ball].outline;
	double slant = ball == BALL_CUE ? M_PI_4 : ball == BALL_OBJECT ? -M_PI_4 : 0.1;
	struct canvas_point *corners;
	size_t count;

	if (!card_words_draws_area(card, ball))
		return STATUS_OK;
	corners = outline_corners(drawing, outline, &count);
	if (corners == NULL)
		return STATUS_SYSTEM;
	canvas_hatch_polygon(drawing->canvas, corners, count, HATCH, slant, hair);
	corners[count] = corners[0];
	canvas_lines(drawing->canvas, corners, count + 1,
	             (struct canvas_pen){DRAWING_MIDDLE, CANVAS_SOLID});
	for (size_t i = 0; i < count; i++)
		label_field_add_line(&drawing->labels, corners[i], corners[i + 1]);
	free(corners);
	return STATUS_OK;
}

/* Near the middle of the outline. */
static void name_area(struct drawing *drawing, const struct shot_card *card, enum ball_role ball)
{
	const struct ball_area *area = &card->area.balls[ball];
	struct outline_box box = outline_extent(&area->outline);
	struct text words = {0};

	if (!card_words_draws_area(card, ball))
		return;
	text_print(&words, "%s %.1f × %.1f", ball_role_name(ball), area->along, area->across);
	card_label(drawing,
	           place_flat(drawing, 0.5 * (box.left + box.right), 0.5 * (box.low + box.high)),
	           0.0, text_bytes(&words));
	text_free(&words);
}

/* A hatched strip along the nose where a ball should meet the rail. */
static void draw_span(struct drawing *drawing, const struct rail_span *span)
{
	const struct table *table = drawing->table;
	bool is_long = rail_is_long(span->rail);
	double inside = STRIP / drawing->scale;
	double low = is_long ? table_long_to_metres(table, span->low)
	                     : table_short_to_metres(table, span->low);
	double high = is_long ? table_long_to_metres(table, span->high)
	                      : table_short_to_metres(table, span->high);
	double nose = span->rail == RAIL_RIGHT  ? table->width
	              : span->rail == RAIL_FOOT ? table->length
	                                        : 0.0;
	double depth = span->rail == RAIL_RIGHT || span->rail == RAIL_FOOT ? -inside : inside;
	struct canvas_point corners[5];

	for (int i = 0; i < 5; i++) {
		double along = i % 4 < 2 ? low : high;
		double deep = i % 4 == 0 || i % 4 == 3 ? nose : nose + depth;

		corners[i] =
		    is_long ? place_flat(drawing, deep, along) : place_flat(drawing, along, deep);
	}
	canvas_hatch_polygon(drawing->canvas, corners, 4, 0.6 * HATCH, M_PI_4, thin);
	canvas_lines(drawing->canvas, corners, 5,
	             (struct canvas_pen){DRAWING_MIDDLE, CANVAS_SOLID});
	for (int i = 0; i < 4; i++)
		label_field_add_line(&drawing->labels, corners[i], corners[i + 1]);
}

static void name_span(struct drawing *drawing, const struct rail_span *span)
{
	const struct table *table = drawing->table;
	double middle = 0.5 * (span->low + span->high), inside = 0.5 * STRIP / drawing->scale;
	struct vector3 at = vector3_make(0.0, 0.0, 0.0);
	int decimals = card_words_span_decimals(span);
	struct text words = {0};

	at.x = rail_is_long(span->rail) ? (span->rail == RAIL_LEFT ? inside : table->width - inside)
	                                : table_short_to_metres(table, middle);
	at.y = rail_is_long(span->rail)  ? table_long_to_metres(table, middle)
	       : span->rail == RAIL_HEAD ? inside
	                                 : table->length - inside;
	text_print(&words, "%.*f to %.*f", decimals, span->low, decimals, span->high);
	card_label(drawing, drawing_place(drawing, at), 0.5 * STRIP, text_bytes(&words));
	text_free(&words);
}

enum status card_area_draw(struct drawing *drawing, const struct shot_card *card)
{
	enum status status = STATUS_OK;

	for (int i = 0; i < BALL_ROLES && status == STATUS_OK; i++)
		status = draw_area(drawing, card, (enum ball_role)i);
	for (size_t i = 0; i < card->area.span_count; i++)
		draw_span(drawing, &card->area.spans[i]);
	return status;
}

void card_area_name(struct drawing *drawing, const struct shot_card *card)
{
	for (int i = 0; i < BALL_ROLES; i++)
		name_area(drawing, card, (enum ball_role)i);
	for (size_t i = 0; i < card->area.span_count; i++)
		name_span(drawing, &card->area.spans[i]);
}
