/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_RAILS_TEXT_H
#define RESTPOINT_REPORT_RAILS_TEXT_H

#include "base/text.h"
#include "model/profile.h"

/* How each rail differs from the mean of the four, a block each for liveliness and grip, and a
 * sentence for each rail that differs beyond doubt (profile_factor_stands_out). */
void rails_text_print(const struct profile_rails *rails, struct text *out);

/* "the foot rail is 4 % dead", "the left rail grips 20 % more", ... of a factor that stands out. */
void rails_text_sentence(enum rail rail, bool grip, const struct estimate *factor,
                         struct text *out);

#endif
