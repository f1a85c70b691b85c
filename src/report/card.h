/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_H
#define RESTPOINT_REPORT_CARD_H

#include <stddef.h>
#include <stdint.h>

#include "advise/shot_card.h"
#include "base/status.h"
#include "base/text.h"
#include "model/measurement.h"
#include "report/canvas.h"
#include "report/card_sheet.h"

/* Sheets to print and take to the table: one for each ramp, then one for each shot, or two where the
 * boxes of a shot have no room beside the rest. Black lines and hatching on white, no type below 9
 * points. */

enum card_leaf_kind {
	CARD_LEAF_RAMP,  /* how to make and place the ramp of the shot */
	CARD_LEAF_SHOT,  /* a shot and its boxes */
	CARD_LEAF_PLAY,  /* a shot without its boxes, */
	CARD_LEAF_BOXES, /* which follow */
	CARD_LEAF_KINDS
};

/* One sheet, and what was chosen so that everything has room. */
struct card_leaf {
	enum card_leaf_kind kind;
	const struct shot_card *shot;
	double table_width; /* that the table may take on the paper [mm] */
	double body;        /* size of the type of plain sentences [mm] */
	double row_height;  /* of the boxes [mm] */
	int rows;           /* of boxes; the tries beyond go on a copy */
};

struct card_set {
	const struct protocol *protocol;
	const struct session *session;
	enum card_paper paper;
	const char *constants_words; /* where the constants come from, a clause */
	uint64_t seed;
	size_t count;
	const struct shot_card *shots; /* of that protocol, in its order */
	size_t leaf_count;             /* by card_arrange */
	struct card_leaf *leaves;
};

/* Chooses the sheets of the set. STATUS_OK or STATUS_SYSTEM; release with card_arrange_free in any
 * case. */
enum status card_arrange(struct card_set *set);
void card_arrange_free(struct card_set *set);

/* Adds one sheet, from 0, as a file of a format with one sheet. STATUS_OK or STATUS_SYSTEM. */
enum status card_print_sheet(const struct card_set *set, size_t sheet, enum canvas_format format,
                             struct text *out);

/* Adds all sheets as one PDF. STATUS_OK or STATUS_SYSTEM. */
enum status card_print_pdf(const struct card_set *set, struct text *out);

#endif
