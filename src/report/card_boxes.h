/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_BOXES_H
#define RESTPOINT_REPORT_CARD_BOXES_H

#include "advise/shot_card.h"
#include "report/card_sheet.h"

/* What is filled in by hand: the settings of the session, a row of boxes for each try, and how to
 * write. Each returns where it ends below; part of report/card. */

/* One line of boxes: table, date, ball set, cloth, player. */
double card_settings_draw(const struct card_sheet *sheet, double top);

/* The readings of a shot, columns in the order in which they are taken, with their names in a
 * measurement file.
 *   rows  tries at most; 0: as many as the shot has */
double card_boxes_draw(const struct card_sheet *sheet, double top, const struct shot_card *card,
                       int rows, double row_height);

/* How to write readings (notation of measurement files). */
double card_notation_draw(const struct card_sheet *sheet, double top);

#endif
