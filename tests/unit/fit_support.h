/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_FIT_SUPPORT_H
#define RESTPOINT_TESTS_FIT_SUPPORT_H

#include <stdint.h>

#include "base/fault.h"
#include "estimate/fit.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* Simulated sessions for tests of the fit. Every function stops the test program where its
 * surroundings fail. */

/* tests/unit/fit_protocol.json: 23 strokes of eight shots, with a stopwatch; no stroke comes near
 * an edge between two courses of the balls. */
void fit_support_protocol(struct protocol *protocol);

/* Constants a little beside the middle of the priors: what the sessions are made with. */
struct constants fit_support_truth(void);

/* A session of a person, with all that formats.md 3 and physics.md 6 add; file "NAME", the first
 * stroke in line 2. */
void fit_support_session(const struct protocol *protocol, uint64_t seed, const char *name,
                         struct measurement *measurement);

/* Number of a quantity by its name, and the stroke of that shot and try. */
int fit_support_quantity(const char *name);
struct stroke_row *fit_support_row(struct measurement *measurement, const char *shot,
                                   int try_number);

/* Fits one file; faults may be NULL. */
enum status fit_support_run(const struct protocol *protocol, const struct measurement *measurement,
                            uint64_t seed, struct fit_result *result, struct fault_list *faults);

/* Largest distance of a constant from the truth, in standard deviations, where it is told. */
double fit_support_worst(const struct fit_result *result, const struct constants *truth);

#endif
