/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_DESIGN_H
#define RESTPOINT_TESTS_RECOVERY_DESIGN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/random.h"
#include "estimate/stroke_model.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* How good a protocol is before anybody has played it: whether its shots do what they were designed
 * to do on tables and with strokes other than those in the middle, and how well they would tell the
 * constants. */

/* Draws constants as tables differ: the frictions log-normal about the centre of their prior with
 * sd 0.25, cushion restitution N(0.93, 0.025) within 0.85 to 0.99, ball restitution
 * N(0.95, 0.012) within 0.92 to 0.985. */
void design_draw_constants(struct random_stream *stream, struct constants *constants);

/* Draws a player's habits and one stroke from what is known before (physics.md 6). */
void design_draw_stroke(struct random_stream *stream, double shared[SHARED_UNKNOWNS],
                        double own[OWN_UNKNOWNS]);

/* What the draws of one shot did. */
struct design_shot {
	bool playable;        /* false: *why tells what is wrong with the designed stroke itself */
	const char *why;      /* static text; NULL while playable */
	const char *quantity; /* the quantity concerned; NULL where none is */
	size_t draws;
	size_t ordered;     /* draws whose contacts and sounds that are read kept their order */
	bool rests;         /* a rest, or a time to rest, is read */
	size_t undisturbed; /* draws with no pocket and no second ball contact of those balls */
	double kept, clear; /* the shares of those two, in [0, 1] */
};

/* Plays a shot as designed at the middle of the priors, then with that many draws of constants,
 * habits and strokes. The stream is started from the seed alone, so shots compare like with
 * like. */
void design_shot_check(const struct shot_design *design, const struct session *session,
                       size_t draws, uint64_t seed, struct design_shot *out);

/* Standard errors relative to the value (standard deviation of its logarithm to first order) that
 * the whole protocol gives each constant at the middle of the priors, by linearisation of the fit
 * with every habit, stroke and uneven rail unknown. False when the protocol cannot be fitted;
 * *why is then static text. */
bool design_expected_errors(const struct protocol *protocol, const struct session *session,
                            double errors[CONSTANT_COUNT], const char **why);

/* Standard deviation of the logarithm of the grip of ball B relative to that of ball A, the
 * reference, in a fit with grips, when the tries of every shot are played with A and B by turns as
 * the cue ball; every third ball grips as it will. */
bool design_expected_grip(const struct protocol *protocol, const struct session *session,
                          double *error, const char **why);

/* Strokes that the protocol asks for. */
size_t design_strokes(const struct protocol *protocol);

#endif
