/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_SIMULATE_H
#define RESTPOINT_ESTIMATE_SIMULATE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/status.h"
#include "estimate/stroke_model.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"
#include "shot/play.h"

/* Plays a protocol like a person on a table of known constants: one speed habit, one offset of
 * height and side and one aim offset per shot key shared by all strokes, scatter from stroke to
 * stroke, uneven rail contacts, reading errors (physics.md 6, formats.md 3).
 *   session  table, balls, errors, microphone and notes; its strings must outlive *measurement
 *   noise    false: every stroke as designed, even rails, exact readings of every quantity the
 *            shot can give (rests, rails, intervals, sounds), no sound delay
 * Fills *measurement (release with measurement_free). With noise only the quantities of each
 * shot's `measure` are filled. STATUS_OK or STATUS_SYSTEM. */
enum status simulate_session(const struct protocol *protocol, const struct session *session,
                             const struct constants *constants, uint64_t seed, bool noise,
                             struct measurement *measurement);

/* The unknowns with which one row was simulated, standardised (estimate/stroke_model.h). */
struct simulated_truth {
	double shared[SHARED_UNKNOWNS];
	double own[OWN_UNKNOWNS];
};

/* The same; truth receives the unknowns of each row of *measurement (truth_count of them at most),
 * and may be NULL. */
enum status simulate_session_truth(const struct protocol *protocol, const struct session *session,
                                   const struct constants *constants, uint64_t seed, bool noise,
                                   struct measurement *measurement, struct simulated_truth *truth,
                                   size_t truth_count);
/* What a table and its balls can have that struct constants does not hold. */
struct simulated_extras {
	double grip[BALL_ROLES];                 /* of the ball of each part */
	struct rail_character rails[RAIL_COUNT];
};

/* The same on such a table. */
enum status simulate_session_with(const struct protocol *protocol, const struct session *session,
                                  const struct constants *constants,
                                  const struct simulated_extras *extras, uint64_t seed, bool noise,
                                  struct measurement *measurement);

#endif
