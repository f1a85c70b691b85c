/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CALIBRATION_SUMMARY_H
#define RESTPOINT_TESTS_RECOVERY_CALIBRATION_SUMMARY_H

#include <stdbool.h>
#include <stddef.h>

#include "calibration_study.h"

/* The outcomes of the sessions of one protocol, counted. */

/* One constant over all sessions, whatever their state. Medians, z and the places are of the
 * sessions that were answered; an unanswered one holds nothing. */
struct calibration_figures {
	size_t held68, held95; /* central intervals of the draws that hold the truth */
	size_t told95;         /* 95 % intervals as the program tells them that do */
	size_t determined, determined68, determined95; /* of the sessions that call it so */
	double bias, bias_error;                       /* mean z and its standard error */
	double rms;                                    /* root of the mean of z squared */
	double relative;                               /* median standard error over value */
	double learned;                                /* median */
	double rank_p; /* chi-square tail probability of the histogram of places; not a
	                            number when the sessions are too few for one */
};

struct calibration_summary {
	size_t sessions;
	size_t unanswered; /* refused, or no draws */
	size_t not_converged;
	size_t unlikely;      /* chi-square p outside 0.001 to 0.999 */
	size_t ends_compared; /* with the end next to the truth */
	size_t false_ends;    /* of those, see calibration_false_end */
	size_t strokes, set_aside;
	double seconds_median, seconds_95; /* processor time of a fit */
	struct calibration_figures figures[CONSTANT_COUNT];
};

/* Counts; at least one outcome. False when memory is out. */
bool calibration_summarise(const struct calibration_outcome *outcomes, size_t count,
                           struct calibration_summary *summary);

/* Bins of the histogram of that many places: 20 from 200 places on, 10 from 50 on, below that as
 * many as leave 5 expected places in each; 0 below 10 places. */
size_t calibration_bins(size_t places);

/* Chi-square tail probability of places in [0, 1] being uniform; NaN when there are too few. */
double calibration_uniform_p(const double *places, size_t count);

#endif
