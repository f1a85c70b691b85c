/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_NEXT_SHOTS_H
#define RESTPOINT_ESTIMATE_NEXT_SHOTS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "estimate/fit.h"
#include "model/protocol.h"

/* Which shot to play next: the one that would make the worst known constant better known than any
 * other shot would, and after it the next one. */

#define NEXT_SHOTS_MOST 2
#define NEXT_SHOT_STROKES 2 /* of each, so that all shots compare alike */
#define NEXT_SHOT_GAIN 0.10 /* of the standard error, less is not worth naming */

/* A shot that might be played. */
struct next_candidate {
	const struct protocol *protocol;
	const struct shot_design *shot;
};

struct next_shot {
	const struct protocol *protocol;
	const struct shot_design *shot;
	int strokes;
	bool more;    /* the sessions hold strokes of this shot */
	unsigned kit; /* of enum protocol_kit: needed, and not used in these sessions */
	enum constant_id constant;
	double before, after; /* its standard error relative to its value; after: expected */
};

struct next_shots {
	bool all_known;         /* no constant is weak or not determined */
	enum constant_id worst; /* the one furthest from that; undefined where all_known */
	size_t count;
	struct next_shot shots[NEXT_SHOTS_MOST];
};

/* How many times larger a constant's standard error is than a determined one's may be (formats.md
 * 5): sd of the logarithm over 0.10, or sd over half the deviation of the prior on the fitted
 * scale, whichever is more. covariance: on the fitted scales; centre likewise. */
double next_shots_excess(enum constant_id id, const double centre[CONSTANT_COUNT],
                         double covariance[CONSTANT_COUNT][CONSTANT_COUNT]);

/* Chooses, by the rules of next_shots_choose, for a goal of one's own.
 *   wanted  the relative standard error that is wanted of each constant, 0 where nothing is wanted;
 *           NULL: every constant is wanted as well as a determined one is known */
enum status next_shots_choose_for(const struct fit_input *inputs, size_t input_count,
                                  const struct fit_result *result,
                                  const struct next_candidate *candidates, size_t count,
                                  const double *wanted, struct next_shots *next);

/* Chooses for a further session of one player and one ramp on the table, with the errors and the
 * microphone of the last input. What comes of a shot is the geometric mean over a few futures, with
 * constants drawn from what is known, habits and strokes drawn from their priors, and the shot
 * linearised there (estimate/shot_information.h). The habits of the player, the release speed of
 * the ramp and the delay of the sound are unknown in each: what the sessions so far tell of them is
 * not used, as a fit of a further file does not use it. The errors of the further strokes are
 * enlarged as those of the result were.
 * Of shots that do alike the first is taken; one that needs kit that was not used so far only where
 * it leaves a standard error smaller by NEXT_SHOT_GAIN than any other. A cloth friction that waits
 * for a clock is only helped by a shot that has one. Where no shot lowers the standard error of the
 * worst constant by NEXT_SHOT_GAIN the next worst is tried. The second shot is the best one besides
 * the first, for the constant that is worst then.
 * STATUS_OK (also with no shot) or STATUS_SYSTEM. */
static inline enum status next_shots_choose(const struct fit_input *inputs, size_t input_count,
                                            const struct fit_result *result,
                                            const struct next_candidate *candidates,
                                            size_t count, struct next_shots *next)
{
	return next_shots_choose_for(inputs, input_count, result, candidates, count, NULL, next);
}

#endif
