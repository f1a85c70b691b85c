/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_LEAF_H
#define RESTPOINT_REPORT_CARD_LEAF_H

#include <stdbool.h>

#include "report/card.h"

/* The sheets of a shot: what has room where, and the drawing of it. Part of report/card. */

/* Fills in how large everything is on a sheet of that kind (not a ramp's). False where a shot with
 * its boxes has no room on one sheet; the two kinds that then take its place always return true.
 *   sheet  for measuring */
bool card_leaf_fit(const struct card_sheet *sheet, const struct card_set *set,
                   struct card_leaf *leaf);

/* Draws it. STATUS_OK or STATUS_SYSTEM. */
enum status card_leaf_draw(const struct card_sheet *sheet, const struct card_set *set,
                           const struct card_leaf *leaf);

/* What the sheet was computed from, at its foot.
 *   denominator  of the table's scale; 0: no table on this sheet */
void card_footer_draw(const struct card_sheet *sheet, const struct card_set *set,
                      double denominator);

#endif
