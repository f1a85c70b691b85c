/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CALIBRATION_VERDICT_H
#define RESTPOINT_TESTS_RECOVERY_CALIBRATION_VERDICT_H

#include <stddef.h>
#include <stdio.h>

#include "calibration_summary.h"

/* What is asked of a calibration study. */

/* The shipped protocols; the study is one whole of that many, however it is split into runs, so
 * the bounds divide by the number of tests in all of them. */
#define CALIBRATION_PROTOCOLS 3

/* How far off the coverage of a 68 % and a 95 % interval may be, in percent points; both zero:
 * what chance allows, see calibration_coverage_fits. */
struct calibration_bounds {
	double points68, points95;
};

/* 3 and 3 points from 3000 sessions on, 7.5 and 4 from 400 on, below that what chance allows. */
struct calibration_bounds calibration_bounds(size_t sessions);

/* Whether an interval of that probability may hold the truth in held of count sessions: within
 * points (percent) of it, or with points zero when the exact binomial probability of a number as
 * far out, on either side, is not below 1e-3 over the number of coverages tested. */
bool calibration_coverage_fits(size_t held, size_t count, double probability, double points);

/* Whether so many false ends of that many may be: less than 1 % from 400 on, below that what chance
 * allows at 1 %, of 1e-3 over the number of protocols. False when none was compared. */
bool calibration_false_ends_fit(size_t false_ends, size_t compared);

/* Says each bound that failed on one line to `to`; returns how many. Asked are the coverages of
 * the draws' 68 % and 95 % intervals and of the 95 % intervals told, in all sessions; p of the rank
 * histogram above 0.01 over the number of histograms, where there is one; no session without
 * an answer; false ends as calibration_false_ends_fit says. */
size_t calibration_verdict(const char *protocol, const struct calibration_summary *summary,
                           FILE *to);

#endif
