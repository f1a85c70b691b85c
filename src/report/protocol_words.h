/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PROTOCOL_WORDS_H
#define RESTPOINT_REPORT_PROTOCOL_WORDS_H

#include "base/text.h"
#include "model/protocol.h"

/* Parts of a shot in a player's words, without a line end. */

/* A number and its unit, in the singular for 1: "1 diamond", "2.5 diamonds". */
void protocol_words_amount(double number, const char *unit, struct text *out);

/* "1st" to "8th". */
const char *protocol_words_ordinal(int number);

/* "cue ball", "object ball", "second object ball". */
const char *protocol_words_ball(enum ball_role role);

/* "long 2, short 1.5", "frozen to the foot rail, short 2", "touching the object ball, ..."; behind
 * it the ball's size and weight where the design states them. */
void protocol_words_place(const struct placement *placement, struct text *out);

void protocol_words_aim(const struct aim *aim, struct text *out);
void protocol_words_launch(const struct launch *launch, struct text *out);

/* The words of a kit ("tape", ...) in order; returns their number. names holds at least 5. */
size_t protocol_words_kit_names(unsigned kit, const char *names[5]);

/* "tape, watch" of a mask of enum protocol_kit, or "nothing". */
void protocol_words_kit(unsigned kit, struct text *out);

/* "the strike", "the cue ball meets its 1st rail", ... */
void protocol_words_moment(struct moment moment, struct text *out);

/* What a quantity is: "where the cue ball stops, along the table", ... */
void protocol_words_quantity(int number, struct text *out);

#endif
