/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_FIT_TEXT_H
#define RESTPOINT_REPORT_FIT_TEXT_H

#include "base/status.h"
#include "base/text.h"
#include "estimate/fit.h"
#include "estimate/next_shots.h"
#include "model/profile.h"

/* The answer of a fit as text: for an ending other than STATUS_OK a heading that says so first,
 * then the profile, then what is known only together, then what to play next.
 *   next  NULL: nothing is said about that */
void fit_text_print(enum status ending, const struct fit_result *fit,
                    const struct profile *profile, const struct next_shots *next,
                    struct text *out);

/* The same as one JSON object of format "restpoint-fit".
 *   profile_json  the profile printed by profile_file_print, put in as the member "profile" */
void fit_json_print(enum status ending, const struct fit_result *fit,
                    const struct profile *profile, const struct next_shots *next,
                    const char *profile_json, struct text *out);

#endif
