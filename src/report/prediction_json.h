/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PREDICTION_JSON_H
#define RESTPOINT_REPORT_PREDICTION_JSON_H

#include "report/prediction_words.h"

/* The same facts as prediction_text as one JSON object of format "restpoint-prediction".
 *   files  drawings that were written besides; NULL and 0 for none */
void prediction_json_print(const struct prediction_set *set, const char *const *files,
                           size_t file_count, struct text *out);

#endif
