/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_COMPARE_TEXT_H
#define RESTPOINT_REPORT_COMPARE_TEXT_H

#include "report/compare_words.h"

/* A comparison of two tables in at most 80 columns. */
void compare_text_print(const struct compare_set *set, struct text *out);

#endif
