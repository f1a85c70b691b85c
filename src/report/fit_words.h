/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_FIT_WORDS_H
#define RESTPOINT_REPORT_FIT_WORDS_H

#include "base/text.h"
#include "estimate/fit.h"
#include "model/profile.h"

/* Sentences about how a fit ended, one paragraph each, without a line end. */

/* Strokes used and set aside, misfit, whether errors were scaled, the stop reason, the seed. */
void fit_words_summary(const struct profile *profile, struct text *out);

/* "These shots give sliding friction / rolling resistance = 19.1 +- 0.9 (...), neither alone: ...".
 *   has_clock  false: any time would tell them apart */
void fit_words_combination(const struct fit_combination *combination, bool has_clock,
                           struct text *out);

/* "These shots tell sliding friction and rolling resistance only up to a common factor: no time was
 * measured.", or how else the change goes that they do not notice. */
void fit_words_unknown(const struct fit_unknown *unknown, bool has_clock, struct text *out);

#endif
