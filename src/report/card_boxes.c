/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_boxes.h"

#include <math.h>

#include "base/text.h"
#include "report/drawing.h"
#include "report/protocol_words.h"

#define SETTINGS_HEIGHT 10.0
#define TRY_WIDTH 9.0
#define NOTE_WIDTH 26.0
#define COLUMN_LEAST 20.0
#define COLUMN_AIR 3.0
#define HEADER_LINES 3
#define HEADER_STEP (1.22 * CARD_SMALL)
#define HEADER_HEIGHT (HEADER_LINES * HEADER_STEP + 1.4)
#define BLOCK_GAP 3.0

static const struct canvas_pen thin = {DRAWING_THIN, CANVAS_SOLID};
static const struct canvas_pen firm = {DRAWING_MIDDLE, CANVAS_SOLID};

double card_settings_draw(const struct card_sheet *sheet, double top)
{
	static const char *const names[] = {"table", "date", "ball set", "cloth", "player"};
	static const double shares[] = {0.22, 0.18, 0.2, 0.2, 0.2};
	double x = sheet->left;

	for (size_t i = 0; i < sizeof(names) / sizeof(names[0]); i++) {
		double next = x + shares[i] * (sheet->right - sheet->left);

		card_box(sheet, x, top, next, top + SETTINGS_HEIGHT, thin);
		card_put(sheet, x + 1.2, top + 1.1 * CARD_SMALL, CARD_SMALL, CANVAS_LEFT, false,
		         names[i]);
		x = next;
	}
	return top + SETTINGS_HEIGHT;
}

/* The three lines of a column's head: what, where, and its name in the file. */
struct head {
	struct text lines[HEADER_LINES];
};

static void head_free(struct head *head)
{
	for (int i = 0; i < HEADER_LINES; i++)
		text_free(&head->lines[i]);
}

static const char *rail_of(const struct shot_card *card, int number)
{
	for (size_t i = 0; i < card->area.span_count; i++)
		if (card->area.spans[i].quantity == number)
			return rail_name(card->area.spans[i].rail);
	return NULL;
}

static void add_watch_head(const struct shot_card *card, int number, struct head *head)
{
	struct watch_interval interval = card->design->watch[number - 1];
	char name[24];

	text_print(&head->lines[0], "watch, seconds, from");
	moment_name(interval.from, name);
	text_print(&head->lines[1], "%s to ", name);
	moment_name(interval.to, name);
	text_add(&head->lines[1], name);
}

static void head_make(const struct shot_card *card, int number, struct head *head)
{
	struct quantity quantity = quantity_at(number);
	const char *ball = protocol_words_ball(quantity.ball), *rail;

	*head = (struct head){.lines = {{.bytes = NULL}}};
	switch (quantity.kind) {
	case QUANTITY_REST_LONG:
	case QUANTITY_REST_SHORT:
		text_print(&head->lines[0], "%s stops", ball);
		text_add(&head->lines[1],
		         quantity.kind == QUANTITY_REST_LONG ? "at long" : "at short");
		break;
	case QUANTITY_RAIL:
		rail = rail_of(card, number);
		text_print(&head->lines[0], "%s meets its", ball);
		text_print(&head->lines[1], "%s rail%s%s", protocol_words_ordinal(quantity.number),
		           rail != NULL ? ", " : "", rail != NULL ? rail : "");
		break;
	case QUANTITY_WATCH:
		add_watch_head(card, quantity.number, head);
		break;
	case QUANTITY_SOUND:
		text_add(&head->lines[0], "recording,");
		text_print(&head->lines[1], "%s sound, s", protocol_words_ordinal(quantity.number));
		break;
	}
	text_add(&head->lines[2], quantity_name(number));
}

static double column_width(const struct card_sheet *sheet, const struct shot_card *card, int number)
{
	double width = COLUMN_LEAST;
	struct head head;

	head_make(card, number, &head);
	for (int i = 0; i < HEADER_LINES; i++) {
		canvas_bold(sheet->canvas, i == 2);
		width = fmax(width, COLUMN_AIR + canvas_words_width(sheet->canvas, CARD_SMALL,
		                                                    text_bytes(&head.lines[i])));
	}
	canvas_bold(sheet->canvas, false);
	head_free(&head);
	return fmin(width, sheet->right - sheet->left - TRY_WIDTH - NOTE_WIDTH);
}

/* One block of columns. */
struct block {
	const struct shot_card *card;
	size_t first, count;
	double widths[QUANTITY_COUNT];
	double top, row_height;
	int rows;
	bool has_note;
};

static void draw_head(const struct card_sheet *sheet, const struct block *block, size_t column,
                      double left)
{
	double y = block->top + CARD_SMALL + 0.6;
	struct head head;

	head_make(block->card, block->card->boxes[block->first + column], &head);
	for (int i = 0; i < HEADER_LINES; i++)
		card_put(sheet, left + 0.5 * COLUMN_AIR, y + i * HEADER_STEP, CARD_SMALL,
		         CANVAS_LEFT, i == 2, text_bytes(&head.lines[i]));
	head_free(&head);
}

static void draw_rows(const struct card_sheet *sheet, const struct block *block, double right)
{
	double y = block->top + HEADER_HEIGHT;

	for (int row = 0; row <= block->rows; row++, y += block->row_height) {
		struct text number = {0};

		card_line(sheet, sheet->left, y, right, y, row == 0 ? firm : thin);
		if (row == block->rows)
			continue;
		text_print(&number, "%d", row + 1);
		card_put(sheet, sheet->left + 0.5 * TRY_WIDTH,
		         y + 0.5 * (block->row_height + CANVAS_CAPITAL * CARD_BODY), CARD_BODY,
		         CANVAS_CENTRE, false, text_bytes(&number));
		text_free(&number);
	}
}

static double draw_block(const struct card_sheet *sheet, const struct block *block)
{
	double bottom = block->top + HEADER_HEIGHT + block->rows * block->row_height;
	double x = sheet->left + TRY_WIDTH;

	draw_rows(sheet, block, sheet->right);
	card_put(sheet, sheet->left + 1.2, block->top + CARD_SMALL + 0.6 + 2.0 * HEADER_STEP,
	         CARD_SMALL, CANVAS_LEFT, true, "try");
	for (size_t i = 0; i < block->count; i++) {
		card_line(sheet, x, block->top, x, bottom, thin);
		draw_head(sheet, block, i, x);
		x += block->widths[i];
	}
	card_line(sheet, x, block->top, x, bottom, thin);
	if (block->has_note) {
		card_put(sheet, x + 1.5, block->top + CARD_SMALL + 0.6, CARD_SMALL, CANVAS_LEFT,
		         false, "miscue, bump,");
		card_put(sheet, x + 1.5, block->top + CARD_SMALL + 0.6 + HEADER_STEP, CARD_SMALL,
		         CANVAS_LEFT, false, "anything odd");
		card_put(sheet, x + 1.5, block->top + CARD_SMALL + 0.6 + 2.0 * HEADER_STEP,
		         CARD_SMALL, CANVAS_LEFT, true, "note");
	}
	card_box(sheet, sheet->left, block->top, sheet->right, bottom, firm);
	return bottom;
}

/* Takes as many columns as there is room for; the last block leaves room for a note. */
static void fill_block(const struct card_sheet *sheet, struct block *block)
{
	double whole = sheet->right - sheet->left - TRY_WIDTH, used = 0.0, room;
	size_t left = block->card->box_count - block->first;

	block->count = 0;
	while (block->count < left) {
		double width = column_width(sheet, block->card,
		                            block->card->boxes[block->first + block->count]);

		room = whole - (block->count + 1 == left ? NOTE_WIDTH : 0.0);
		if (block->count > 0 && used + width > room)
			break;
		block->widths[block->count++] = width;
		used += width;
	}
	block->has_note = block->count == left;
	/* Columns share what is left over, and a note takes its part. */
	room = (whole - (block->has_note ? NOTE_WIDTH : 0.0) - used) / (double)block->count;
	for (size_t i = 0; i < block->count; i++)
		block->widths[i] += block->has_note ? fmin(12.0, 0.6 * room) : room;
}

double card_boxes_draw(const struct card_sheet *sheet, double top, const struct shot_card *card,
                       int rows, double row_height)
{
	struct block block = {.card = card, .row_height = row_height};
	int tries = card->design->tries;
	struct text more = {0};

	block.rows = rows > 0 && rows < tries ? rows : tries;
	for (block.first = 0; block.first < card->box_count; block.first += block.count) {
		block.top = top;
		fill_block(sheet, &block);
		top = draw_block(sheet, &block) + BLOCK_GAP;
	}
	if (block.rows < tries) {
		text_print(&more, "Tries %d to %d: on another copy of this sheet.", block.rows + 1,
		           tries);
		top = card_paragraph(sheet, sheet->left, top - 2.0, sheet->right - sheet->left,
		                     CARD_SMALL, false, text_bytes(&more));
		text_free(&more);
	}
	return top;
}

double card_notation_draw(const struct card_sheet *sheet, double top)
{
	static const char words[] =
	    "Places are those of the ball's centre in diamonds: long 0 at the nose of the "
	    "head rail to 8 at the foot, short 0 at the nose of the left rail to 4 at the right, "
	    "as seen "
	    "from the head; 2.5, 2 1/2, 2½ or, with a unit, 79.4cm. A ball that touches a rail: f "
	    "head, "
	    "f foot, f left, f right. A rail contact is counted along that rail; put the rail's "
	    "name "
	    "before it where it is another than the one named here: right 5.6. A ball that fell: "
	    "pocket. "
	    "Not seen: nothing. Leave a spoiled stroke in its row and say why in the note (in the "
	    "file: "
	    "valid no).";

	double width = sheet->right - sheet->left;

	top = card_paragraph(sheet, sheet->left, top, width, CARD_SMALL, true, "How to write");
	return card_paragraph(sheet, sheet->left, top, width, CARD_SMALL, false, words);
}
