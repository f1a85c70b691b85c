/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_EFFECTS_JSON_H
#define RESTPOINT_REPORT_EFFECTS_JSON_H

#include "report/effects_words.h"

/* The same facts as effects_text as one JSON object of format "restpoint-effects". */
void effects_json_print(const struct effects_report *report, struct text *out);

#endif
