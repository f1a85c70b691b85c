/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PROFILE_TEXT_H
#define RESTPOINT_REPORT_PROFILE_TEXT_H

#include "base/text.h"
#include "model/profile.h"

/* A profile as text of 80 columns: what was measured, the conditions in players' terms, the
 * physical constants with their intervals (a dash, and the shot that would settle it, where the
 * shots tell too little), the balls, how the fit ended, the rows set aside and the remarks. */
void profile_text_print(const struct profile *profile, struct text *out);

/* One estimate as a block: a line with title, value +- standard error, unit and state; below it
 * the 95 % interval and the meaning (NULL for none).
 *   unit    "s", "diamonds", "" for a pure number
 *   settle  for a number that is not known: what to do, a sentence without full stop */
void profile_text_estimate(const char *title, const struct estimate *estimate, const char *unit,
                           const char *meaning, const char *settle, struct text *out);

#endif
