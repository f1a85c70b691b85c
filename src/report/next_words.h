/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_NEXT_WORDS_H
#define RESTPOINT_REPORT_NEXT_WORDS_H

#include "base/text.h"
#include "estimate/next_shots.h"
#include "files/json_text.h"

/* What to play next, in words. */

/* Paragraphs, one for each shot: "Next: play timed-lag (protocol full) twice more: ..."; a sentence
 * that every constant is determined, or that no shot helps, where there is none. */
void next_words_print(const struct next_shots *next, struct text *out);

/* The same as the member "next" of the open object. */
void next_words_json(const struct next_shots *next, struct json_writer *writer);

#endif
