/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_WORDS_H
#define RESTPOINT_REPORT_CARD_WORDS_H

#include "advise/shot_card.h"
#include "base/text.h"
#include "model/protocol.h"

/* What a card says, in words that a player can act on. */

/* A number of diamonds as people write it: "2½" where it is a whole number of eighths, else two
 * decimals. */
void card_words_diamonds(double diamonds, struct text *out);

/* A speed in lengths of the table, to the nearest quarter, and below a half to the nearest eighth:
 * "2½ table lengths", "1 table length", "less than ⅛ of a table length". */
void card_words_lengths(double lengths, struct text *out);

/* The way of that ball, from the head rail straight up the middle: "up, back and half of the way up
 * again"; nothing for more than 12 lengths. */
void card_words_way(double lengths, struct text *out);

/* Where a ball stands: "long 2½, short 1¼", "frozen to the foot rail, short 2", "touching the
 * object ball, ..."; then the same from the noses in millimetres. */
void card_words_place(const struct shot_card *card, enum ball_role ball, struct text *out);
void card_words_place_millimetres(const struct shot_card *card, enum ball_role ball,
                                  struct text *out);

/* What to aim at. */
void card_words_aim(const struct aim *aim, struct text *out);

/* "11.4 mm above the centre (0.4 of the radius)", "centre height"; likewise to the right or left.
 *   offset  as a fraction of the radius
 *   radius  [m] */
void card_words_height(double offset, double radius, struct text *out);
void card_words_side(double offset, double radius, struct text *out);

/* Where a ball should stop: sentences, empty for a ball whose area is not shown. */
void card_words_area(const struct shot_card *card, enum ball_role ball, struct text *out);

/* Where a ball should meet a rail: a sentence; and how many decimals its numbers need. */
void card_words_span(const struct rail_span *span, struct text *out);
int card_words_span_decimals(const struct rail_span *span);

/* Whether the outline of a ball's area is drawn, or would be the whole table and is told in words. */
bool card_words_draws_area(const struct shot_card *card, enum ball_role ball);

/* Of a hundred, rounded. */
int card_words_of_hundred(size_t count, size_t all);

#endif
