/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_LINES_TEXT_H
#define RESTPOINT_REPORT_LINES_TEXT_H

#include "base/text.h"
#include "estimate/fit.h"
#include "files/json_text.h"

/* What a plane leaves of each line of a fit with slopes. */

/* As text: a heading and a paragraph a line, only where the bed is no plane. */
void lines_text_print(const struct fit_result *fit, struct text *out);

/* As JSON: "plane", and "lines" with the residuals of each, whether it is one or not. */
void lines_text_json(const struct fit_result *fit, struct json_writer *writer);

#endif
