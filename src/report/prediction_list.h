/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PREDICTION_LIST_H
#define RESTPOINT_REPORT_PREDICTION_LIST_H

#include "advise/prediction.h"
#include "report/drawing.h"

/* The numbers of a prediction in columns under a drawing, from that height on. Part of
 * prediction_drawing. What has no room is left to the text. */
void prediction_list_draw(struct drawing *drawing, const struct prediction *prediction, double top);

#endif
