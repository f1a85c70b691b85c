/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_COLUMN_H
#define RESTPOINT_REPORT_CARD_COLUMN_H

#include "advise/shot_card.h"
#include "report/card_sheet.h"

/* What stands beside the table on the card of a shot: place, aim, hit or release, speed, where the
 * balls should go, and the design's own words. Part of report/card. */

/* Sets it into that width.
 *   body  size of the type of plain sentences, CARD_SMALL to CARD_BODY
 * Returns where it ends below. */
double card_column_draw(const struct card_sheet *sheet, double left, double top, double width,
                        double body, const struct shot_card *card);

#endif
