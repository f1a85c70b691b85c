/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_HIT_H
#define RESTPOINT_REPORT_CARD_HIT_H

#include "advise/shot_card.h"
#include "report/card_sheet.h"

/* Where the tip meets the cue ball, from behind and from the side, with its measures: height above
 * or below the centre and offset, in millimetres and as fractions of the radius. Part of
 * report/card. */

/* Draws it with its upper left corner there, CARD_HIT_WIDTH wide. Returns where it ends below. */
#define CARD_HIT_WIDTH 82.0
double card_hit_draw(const struct card_sheet *sheet, double left, double top,
                     const struct shot_card *card);

#endif
