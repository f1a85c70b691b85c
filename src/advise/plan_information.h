/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_INFORMATION_H
#define RESTPOINT_ADVISE_PLAN_INFORMATION_H

#include <stddef.h>
#include <stdint.h>

#include "advise/plan_knowledge.h"
#include "advise/plan_value.h"
#include "estimate/shot_information.h"
#include "model/measurement.h"

/* What one stroke of a shot would tell, and how sure it is that it goes as designed. */

#define PLAN_PLAYERS 4

/* A table that may turn out to be the true one, and a few players on it with a stroke each. */
struct plan_world {
	struct stroke_point point[PLAN_PLAYERS]; /* the same constants, habits of each */
	double own[PLAN_PLAYERS][OWN_UNKNOWNS];
};

/* Draws a world: the constants from what is known, habits and strokes from their priors. Worlds of
 * different numbers are independent. */
void plan_world_draw(const struct plan_knowledge *known, uint64_t seed, uint64_t number,
                     struct plan_world *world);

/* Information of a stroke in a world (estimate/shot_information.h), the mean over its first players
 * (1 to PLAN_PLAYERS), less by the square of what a fit widens its errors by
 * (estimate/drawn_constants.h), times share. A stroke that cannot be played there, or gives no
 * reading, tells nothing. */
void plan_information_make(const struct shot_design *design, const struct session *session,
                           const struct plan_world *world, int players, double share,
                           struct plan_information *information);

/* Plays the shot as designed at the middle of what is known and takes the sounds that are not to be
 * heard there off its readings. False when it cannot be set up or played, or another reading does
 * not happen or ends in a pocket. */
bool plan_information_check(struct shot_design *design, const struct session *session,
                            const struct plan_knowledge *known);

/* The share of that many draws of worlds in which every contact that is read, and every sound,
 * comes in the order of the middle, and no ball whose stop is read falls or meets a ball twice. */
double plan_information_stable(const struct shot_design *design, const struct session *session,
                               const struct plan_knowledge *known, size_t draws, uint64_t seed);

#endif
