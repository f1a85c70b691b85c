/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_AREA_H
#define RESTPOINT_REPORT_CARD_AREA_H

#include "advise/shot_card.h"
#include "base/status.h"
#include "report/drawing.h"

/* The hatched areas of a card's table: where balls should stop, and where they should meet the rails
 * that are read. Part of report/card. */

/* Draws them, below everything else. STATUS_OK or STATUS_SYSTEM. */
enum status card_area_draw(struct drawing *drawing, const struct shot_card *card);

/* Writes their sizes, when everything else is there. */
void card_area_name(struct drawing *drawing, const struct shot_card *card);

/* Writes words near a point, clear of lines and other words, on white where there is hatching.
 *   clear  distance from the point at least */
void card_label(struct drawing *drawing, struct canvas_point at, double clear, const char *words);

#endif
