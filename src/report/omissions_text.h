/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_OMISSIONS_TEXT_H
#define RESTPOINT_REPORT_OMISSIONS_TEXT_H

#include "base/text.h"
#include "estimate/fit.h"
#include "files/json_text.h"

/* What the model of a fit leaves out and these strokes would not show. */

/* As text: a heading, and a paragraph for each that shifts a told constant much; or a sentence that
 * there is none. Nothing where it was not looked for. */
void omissions_text_print(const struct fit_result *fit, struct text *out);

/* As JSON: "left_out", each with its assumed size, whether it is told, the power of the test of the
 * fit and the shifts of the constants. */
void omissions_text_json(const struct fit_result *fit, struct json_writer *writer);

/* The constants of a profile with the errors of the model that it names; nothing where it has
 * none. */
void omissions_text_profile(const struct profile *profile, struct text *out);

/* Names of errors (struct profile_model_error) in words. */
void omissions_text_because(const char *names, struct text *out);

#endif
