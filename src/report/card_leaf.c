/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_leaf.h"

#include <math.h>
#include <string.h>

#include "report/card_boxes.h"
#include "report/card_column.h"
#include "report/card_table.h"
#include "report/drawing.h"

#define GAP 5.0           /* between table and column */
#define COLUMN_LEAST 84.0 /* its width */
#define TABLE_LEAST 96.0  /* height of the table */
#define TABLE_STEP 4.0
#define ROW_HIGH 7.5
#define ROW_LOW 6.0
#define BODY_STEP 0.1
#define SECTION_GAP 2.0
#define HEADING (1.5 * CARD_KEY)
#define FOOTER_LINES 2
#define FOOTER_AIR 1.4

static double width_of(const struct card_sheet *sheet)
{
	return sheet->right - sheet->left;
}

static double footer_top(const struct card_sheet *sheet)
{
	return sheet->bottom - FOOTER_LINES * CARD_LEADING * CARD_SMALL - FOOTER_AIR;
}

void card_footer_draw(const struct card_sheet *sheet, const struct card_set *set,
                      double denominator)
{
	const struct table *table = &set->session->table;
	double top = footer_top(sheet);
	struct text words = {0};

	text_print(&words, "Table %s, %.3f m × %.3f m nose to nose", table->preset, table->length,
	           table->width);
	if (denominator > 0.0)
		text_print(&words, ", drawn 1:%.0f", denominator);
	text_print(&words, "%s. Path and areas computed with %s; %d plays, seed %llu.",
	           table->napped ? "; its napped cloth is not part of the model" : "",
	           set->constants_words, STOP_AREA_DRAWS, (unsigned long long)set->seed);
	card_line(sheet, sheet->left, top + 0.7, sheet->right, top + 0.7,
	          (struct canvas_pen){DRAWING_THIN, CANVAS_SOLID});
	card_paragraph(sheet, sheet->left, top + FOOTER_AIR, width_of(sheet), CARD_SMALL, false,
	               text_bytes(&words));
	text_free(&words);
}

/* The title, in a second line where it is long, and what the sheet is. Returns where it ends. */
static double draw_title(const struct card_sheet *sheet, const struct card_set *set,
                         const struct card_leaf *leaf)
{
	const struct shot_design *design = leaf->shot->design;
	size_t number = (size_t)(design - set->protocol->shots) + 1;
	const char *title =
	    design->title[strspn(design->title, " \t\n")] != '\0' ? design->title : design->key;
	struct text words = {0};
	double size, y;

	text_print(&words, "%zu. %s", number, title);
	size = card_fitting_size(sheet, CARD_TITLE, width_of(sheet), true, text_bytes(&words));
	y = card_paragraph(sheet, sheet->left, sheet->top - 2.0, width_of(sheet),
	                   fmax(size, CARD_KEY), true, text_bytes(&words));
	text_free(&words);
	text_print(&words, "Shot %s, %d %s. Protocol %s, shot %zu of %zu.%s", design->key,
	           design->tries, design->tries == 1 ? "try" : "tries", set->protocol->name, number,
	           set->protocol->shot_count,
	           leaf->kind == CARD_LEAF_PLAY    ? " Its boxes are on the next sheet."
	           : leaf->kind == CARD_LEAF_BOXES ? " How to play it is on the sheet before."
	                                           : "");
	y = card_paragraph(sheet, sheet->left, y, width_of(sheet), CARD_BODY, false,
	                   text_bytes(&words));
	text_free(&words);
	return y;
}

/* From the title down to where the table, or the boxes alone, may begin. */
static double draw_head(const struct card_sheet *sheet, const struct card_set *set,
                        const struct card_leaf *leaf)
{
	double y;

	y = draw_title(sheet, set, leaf);
	y = card_settings_draw(sheet, y + 1.5) + 0.5;
	if (leaf->kind == CARD_LEAF_BOXES)
		return y + SECTION_GAP;
	return card_paragraph(sheet, sheet->left, y, width_of(sheet), CARD_BODY, false,
	                      leaf->shot->design->how) +
	       SECTION_GAP;
}

/* Where the parts of a sheet begin, from below. */
struct parts {
	double notation, boxes, top;
	double room; /* height between head and boxes, for table and column */
};

static struct parts parts_of(const struct card_sheet *sheet, const struct card_set *set,
                             const struct card_leaf *leaf)
{
	struct card_sheet trial = *sheet;
	struct parts parts;

	trial.measuring = true;
	parts.notation = parts.boxes = footer_top(sheet);
	if (leaf->kind != CARD_LEAF_PLAY) {
		parts.notation -= card_notation_draw(&trial, 0.0);
		parts.boxes = parts.notation - card_boxes_draw(&trial, 0.0, leaf->shot, leaf->rows,
		                                               leaf->row_height);
		parts.boxes -= HEADING;
	}
	parts.top = draw_head(&trial, set, leaf);
	parts.room = parts.boxes - parts.top;
	return parts;
}

static double column_height(const struct card_sheet *sheet, const struct card_leaf *leaf,
                            double width)
{
	struct card_sheet trial = *sheet;

	trial.measuring = true;
	return card_column_draw(&trial, 0.0, 0.0, width, leaf->body, leaf->shot);
}

/* The largest table, and then the largest type, with which table and column have room. */
static bool fit_table(const struct card_sheet *sheet, const struct card_set *set,
                      struct card_leaf *leaf, double room)
{
	const struct table *table = &set->session->table;
	double width = width_of(sheet);

	for (leaf->table_width = width - COLUMN_LEAST - GAP;; leaf->table_width -= TABLE_STEP) {
		struct card_table_size size =
		    card_table_fit(table, leaf->table_width, room - SECTION_GAP);

		leaf->body = CARD_SMALL;
		if (size.height < TABLE_LEAST || size.height > room)
			return false;
		for (leaf->body = CARD_BODY; leaf->body >= CARD_SMALL; leaf->body -= BODY_STEP)
			if (column_height(sheet, leaf, width - size.width - GAP) <= room + 1.0)
				return true;
		leaf->body = CARD_SMALL;
	}
}

/* As many rows as have room. */
static void fit_rows(const struct card_sheet *sheet, const struct card_set *set,
                     struct card_leaf *leaf)
{
	while (leaf->row_height > ROW_LOW && parts_of(sheet, set, leaf).room < 0.0)
		leaf->row_height -= 0.75;
	while (leaf->rows > 1 && parts_of(sheet, set, leaf).room < 0.0)
		leaf->rows--;
}

bool card_leaf_fit(const struct card_sheet *sheet, const struct card_set *set,
                   struct card_leaf *leaf)
{
	leaf->rows = leaf->shot->design->tries;
	leaf->row_height = ROW_HIGH;
	if (leaf->kind == CARD_LEAF_BOXES) {
		fit_rows(sheet, set, leaf);
		return true;
	}
	for (; leaf->row_height >= ROW_LOW; leaf->row_height -= 0.75)
		if (fit_table(sheet, set, leaf, parts_of(sheet, set, leaf).room))
			return true;
	return leaf->kind == CARD_LEAF_PLAY;
}

static void draw_boxes(const struct card_sheet *sheet, const struct card_leaf *leaf,
                       const struct parts *parts, double top)
{
	card_paragraph(sheet, sheet->left, top - 0.8, width_of(sheet), CARD_KEY, true,
	               "6  Write down");
	card_boxes_draw(sheet, top + HEADING, leaf->shot, leaf->rows, leaf->row_height);
	card_notation_draw(sheet, parts->notation);
}

enum status card_leaf_draw(const struct card_sheet *sheet, const struct card_set *set,
                           const struct card_leaf *leaf)
{
	struct parts parts = parts_of(sheet, set, leaf);
	struct card_table_size size;
	double top = draw_head(sheet, set, leaf);

	if (leaf->kind == CARD_LEAF_BOXES) {
		card_footer_draw(sheet, set, 0.0);
		draw_boxes(sheet, leaf, &parts, top);
		return STATUS_OK;
	}
	size = card_table_fit(&set->session->table, leaf->table_width, parts.room - SECTION_GAP);
	card_footer_draw(sheet, set, size.denominator);
	card_column_draw(sheet, sheet->left + size.width + GAP, top - 1.5,
	                 width_of(sheet) - size.width - GAP, leaf->body, leaf->shot);
	if (leaf->kind == CARD_LEAF_SHOT)
		draw_boxes(sheet, leaf, &parts, parts.boxes);
	return card_table_draw(sheet, sheet->left, top, &size, leaf->shot);
}
