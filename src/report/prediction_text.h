/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PREDICTION_TEXT_H
#define RESTPOINT_REPORT_PREDICTION_TEXT_H

#include "report/prediction_words.h"

/* Where balls stop and touch, as text of at most 80 columns that can be read aloud. */
void prediction_text_print(const struct prediction_set *set, struct text *out);

#endif
