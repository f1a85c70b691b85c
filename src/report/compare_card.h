/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_COMPARE_CARD_H
#define RESTPOINT_REPORT_COMPARE_CARD_H

#include "report/canvas.h"
#include "report/compare_words.h"

/* The headline adjustments of a comparison as a card to carry: one sheet of A5 upright. Adds the file's bytes
 * to `out`. STATUS_OK or STATUS_SYSTEM. */
enum status compare_card_print(const struct compare_set *set, enum canvas_format format,
                               struct text *out);

#endif
