/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_RAMP_H
#define RESTPOINT_REPORT_CARD_RAMP_H

#include "report/card.h"

/* The sheet of a ramp: how to make it, how high to let the ball go and why, where to put it, and the
 * shots that use it. Part of report/card.
 *   first  of the shots of the set that use it */
void card_ramp_draw(const struct card_sheet *sheet, const struct card_set *set,
                    const struct shot_card *first);

#endif
