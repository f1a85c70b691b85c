/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_TABLE_H
#define RESTPOINT_REPORT_CARD_TABLE_H

#include "advise/shot_card.h"
#include "base/status.h"
#include "report/card_sheet.h"

/* The table of a shot's card, the head rail below: balls where they stand with their diamonds, the
 * aim, the expected path, the areas in which balls should stop and meet rails. Part of report/card. */

/* How large it comes in a given space: the largest round scale. */
struct card_table_size {
	double denominator;
	double width, height; /* with its rails */
};
struct card_table_size card_table_fit(const struct table *table, double width, double height);

/* Draws it with its upper left corner there. STATUS_OK or STATUS_SYSTEM. */
enum status card_table_draw(const struct card_sheet *sheet, double left, double top,
                            const struct card_table_size *size, const struct shot_card *card);

#endif
