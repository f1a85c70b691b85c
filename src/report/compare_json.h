/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_COMPARE_JSON_H
#define RESTPOINT_REPORT_COMPARE_JSON_H

#include "report/compare_words.h"

/* The same facts as compare_text as one JSON object of format "restpoint-comparison". */
void compare_json_print(const struct compare_set *set, struct text *out);

#endif
