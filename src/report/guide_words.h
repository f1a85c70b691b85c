/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_GUIDE_WORDS_H
#define RESTPOINT_REPORT_GUIDE_WORDS_H

#include "advise/guide.h"
#include "base/fault.h"
#include "base/text.h"
#include "estimate/stroke_range.h"

/* What a guided session says about strokes and readings. At most 80 columns a line. */

/* "Shot 3 of 10, half-ball, stroke 1 of 2: Half-ball cut up the table". */
void guide_words_heading(const struct guide *guide, const struct guide_question *question,
                         struct text *out);

/* What to do, how to aim and how to strike. */
void guide_words_shot(const struct shot_design *shot, struct text *out);

/* The question for a reading, short enough that an answer fits behind it, with ": " at its end.
 *   rail    of a rail contact: the one that the design strikes, or RAIL_COUNT
 *   frames  times are counted in frames of a video */
void guide_words_prompt(const struct guide_question *question, enum rail rail, bool frames,
                        struct text *out);

/* A reading as it was understood, without a line end: "right rail, 5.60 diamonds". */
void guide_words_reading(int quantity, const struct reading *reading, struct text *out);

/* Why a typed reading was refused, for the first fault of a list: found, accepted, what to do. */
void guide_words_refusal(const struct fault *fault, struct text *out);

/* What is odd about a reading, with the slip that would explain it as a question; nothing for
 * DOUBT_NONE. */
void guide_words_doubt(int quantity, const struct reading *reading,
                       const struct reading_judgement *judgement, struct text *out);

/* The words that are understood at a prompt. */
void guide_words_help(struct text *out);

/* What may be written for a reading. */
void guide_words_notation(int quantity, struct text *out);

#endif
