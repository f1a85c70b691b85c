/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CALIBRATION_REPORT_H
#define RESTPOINT_TESTS_RECOVERY_CALIBRATION_REPORT_H

#include <stdio.h>

#include "calibration_summary.h"

/* What the columns of the table mean, once above all protocols: plain text of at most 100
 * columns. */
void calibration_report_legend(FILE *to);

/* The table of one protocol: its sessions in three lines, then a line for each constant; plain
 * aligned text of at most 100 columns. */
void calibration_report_print(const struct calibration_wish *wish,
                              const struct calibration_summary *summary, FILE *to);

#endif
