/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/prediction_list.h"

#include "report/prediction_words.h"
#include "report/protocol_words.h"

#define STEP 3.6
#define BOTTOM (DRAWING_HEIGHT - 7.0)
#define COLUMNS 3
#define GAP 4.0

struct list {
	struct drawing *drawing;
	double top;
	size_t rows, used;
};

static void add_line(struct list *list, struct text *words)
{
	double width = (DRAWING_RIGHT - DRAWING_LEFT) / COLUMNS;
	size_t number = list->used++;
	struct canvas_point at = {DRAWING_LEFT + width * (double)(number / list->rows),
	                          list->top + STEP * (double)(number % list->rows)};

	if (number + 1 == COLUMNS * list->rows)
		drawing_words_within(list->drawing, at, DRAWING_TEXT, width - GAP,
		                     "more: in the text of predict");
	else if (number < COLUMNS * list->rows)
		drawing_words_within(list->drawing, at, DRAWING_TEXT, width - GAP,
		                     text_bytes(words));
	list->drawing->labels.memory_out = list->drawing->labels.memory_out || words->failed;
	text_free(words);
}

static void add_reading(struct list *list, const struct prediction *prediction,
                        const struct predicted_reading *reading)
{
	struct quantity quantity = quantity_at(reading->quantity);
	struct text words = {0};

	switch (quantity.kind) {
	case QUANTITY_RAIL:
		text_print(&words, "%s %s: ", ball_role_name(quantity.ball),
		           protocol_words_ordinal(quantity.number));
		prediction_words_rail(prediction, reading, &words);
		break;
	case QUANTITY_WATCH:
		text_print(&words, "watch %d: ", quantity.number);
		prediction_words_span(reading, &words);
		break;
	case QUANTITY_SOUND:
		text_print(&words, "%s sound: ", protocol_words_ordinal(quantity.number));
		prediction_words_span(reading, &words);
		break;
	default:
		text_print(&words, "%s stops, %s ", ball_role_name(quantity.ball),
		           quantity.kind == QUANTITY_REST_LONG ? "long" : "short");
		prediction_words_span(reading, &words);
		text_add(&words, ", ");
		prediction_words_share(reading->seen, prediction->played, &words);
		break;
	}
	add_line(list, &words);
}

static void add_falls(struct list *list, const struct prediction *prediction, enum ball_role role)
{
	for (int i = 0; i < PREDICTION_POCKETS; i++) {
		struct text words = {0};

		if (!prediction_words_falls(prediction, role, i))
			continue;
		text_print(&words, "%s falls ", ball_role_name(role));
		prediction_words_fall(prediction, role, i, &words);
		add_line(list, &words);
	}
}

void prediction_list_draw(struct drawing *drawing, const struct prediction *prediction, double top)
{
	struct list list = {
	    .drawing = drawing, .top = top, .rows = (size_t)((BOTTOM - top) / STEP) + 1};

	for (int i = 0; i < BALL_ROLES; i++)
		if (prediction->traced.setup.present[i])
			add_falls(&list, prediction, (enum ball_role)i);
	for (size_t i = 0; i < prediction->reading_count; i++)
		add_reading(&list, prediction, &prediction->readings[i]);
}
