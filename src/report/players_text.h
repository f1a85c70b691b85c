/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PLAYERS_TEXT_H
#define RESTPOINT_REPORT_PLAYERS_TEXT_H

#include "base/text.h"
#include "model/profile.h"

/* How the players of a profile strike: how well they repeat a stroke, how far they are off the
 * design. A heading and a sentence for each number that the strokes tell, for each session. */
void players_text_print(const struct profile *profile, struct text *out);

#endif
