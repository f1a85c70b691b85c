/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PREDICTION_DRAWING_H
#define RESTPOINT_REPORT_PREDICTION_DRAWING_H

#include "report/canvas.h"
#include "report/prediction_words.h"

/* Draws shots on sheets of A4 lying, one for each: the path as designed, a dot where each play ends
 * (of a few hundred), the outline of the rests, and strips where rails are met. `count` shots from
 * number `first` on; more than one only as PDF. STATUS_OK or STATUS_SYSTEM. */
enum status prediction_drawing_print(const struct prediction_set *set, size_t first, size_t count,
                                     enum canvas_format format, struct text *out);

#endif
