/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CALIBRATION_FALSE_END_H
#define RESTPOINT_TESTS_RECOVERY_CALIBRATION_FALSE_END_H

#include <stdbool.h>

#include "base/status.h"
#include "estimate/simulate.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* An end of the search is false when the end next to the truth is better by more than this, in
 * minus twice the logarithm of the marginal probability: e times as probable. */
#define CALIBRATION_FALSE_ABOVE 2.0

/* Searches a simulated session as the fit does, and once from the truth itself: constants, habits
 * and every stroke as they were put in.
 *   rows    what each row of the measurement was simulated with
 *   excess  fit_evidence at the search's end less that at the truth's end; not a number when the
 *           truth cannot be played
 * STATUS_OK, or what fit_problem_create and the search say. */
enum status calibration_false_end(const struct protocol *protocol,
                                  const struct measurement *measurement,
                                  const struct constants *truth, const struct simulated_truth *rows,
                                  double *excess);

#endif
