/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card.h"

#include <stdlib.h>
#include <string.h>

#include "report/card_leaf.h"
#include "report/card_ramp.h"

#define LEAVES_OF_A_SHOT 3

/* Whether no earlier shot of the set uses the same ramp. */
static bool is_first_of_ramp(const struct card_set *set, size_t shot)
{
	const struct launch *launch = &set->shots[shot].design->launch;

	if (!launch->by_ramp)
		return false;
	for (size_t i = 0; i < shot; i++) {
		const struct launch *other = &set->shots[i].design->launch;

		if (other->by_ramp && strcmp(other->ramp, launch->ramp) == 0)
			return false;
	}
	return true;
}

static struct canvas *start(const struct card_set *set, enum canvas_format format)
{
	double width, height;

	card_paper_size(set->paper, &width, &height);
	return canvas_create(format, width, height);
}

static void add_leaf(struct card_set *set, const struct card_sheet *sheet, enum card_leaf_kind kind,
                     const struct shot_card *shot)
{
	struct card_leaf leaf = {.kind = kind, .shot = shot};

	if (kind == CARD_LEAF_RAMP || card_leaf_fit(sheet, set, &leaf)) {
		set->leaves[set->leaf_count++] = leaf;
		return;
	}
	add_leaf(set, sheet, CARD_LEAF_PLAY, shot);
	add_leaf(set, sheet, CARD_LEAF_BOXES, shot);
}

enum status card_arrange(struct card_set *set)
{
	struct canvas *canvas = start(set, CANVAS_SVG); /* only to measure words on */
	struct card_sheet sheet;
	struct text unused = {0};
	enum status status;

	set->leaf_count = 0;
	set->leaves = calloc(LEAVES_OF_A_SHOT * set->count + 1, sizeof *set->leaves);
	if (canvas == NULL)
		return STATUS_SYSTEM;
	sheet = card_sheet_make(canvas, set->paper);
	if (set->leaves != NULL) {
		for (size_t i = 0; i < set->count; i++)
			if (is_first_of_ramp(set, i))
				add_leaf(set, &sheet, CARD_LEAF_RAMP, &set->shots[i]);
		for (size_t i = 0; i < set->count; i++)
			add_leaf(set, &sheet, CARD_LEAF_SHOT, &set->shots[i]);
	}
	status = canvas_finish(canvas, &unused);
	text_free(&unused);
	return set->leaves != NULL ? status : STATUS_SYSTEM;
}

void card_arrange_free(struct card_set *set)
{
	free(set->leaves);
	set->leaves = NULL;
	set->leaf_count = 0;
}

static enum status draw_sheet(struct canvas *canvas, const struct card_set *set, size_t number)
{
	struct card_sheet sheet = card_sheet_make(canvas, set->paper);
	const struct card_leaf *leaf = &set->leaves[number];

	if (leaf->kind != CARD_LEAF_RAMP)
		return card_leaf_draw(&sheet, set, leaf);
	card_footer_draw(&sheet, set, 0.0);
	card_ramp_draw(&sheet, set, leaf->shot);
	return STATUS_OK;
}

enum status card_print_sheet(const struct card_set *set, size_t sheet, enum canvas_format format,
                             struct text *out)
{
	struct canvas *canvas = start(set, format);
	enum status status, finished;

	if (canvas == NULL)
		return STATUS_SYSTEM;
	status = draw_sheet(canvas, set, sheet);
	finished = canvas_finish(canvas, out);
	return status == STATUS_OK ? finished : status;
}

enum status card_print_pdf(const struct card_set *set, struct text *out)
{
	struct canvas *canvas = start(set, CANVAS_PDF);
	enum status status = STATUS_OK, finished;

	if (canvas == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < set->leaf_count && status == STATUS_OK; i++) {
		if (i > 0)
			canvas_next_sheet(canvas);
		status = draw_sheet(canvas, set, i);
	}
	finished = canvas_finish(canvas, out);
	return status == STATUS_OK ? finished : status;
}
