/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_EFFECTS_TEXT_H
#define RESTPOINT_REPORT_EFFECTS_TEXT_H

#include "report/effects_words.h"

/* The effects of a change for people: rows in groups, 80 columns. */
void effects_text_print(const struct effects_report *report, struct text *out);

#endif
