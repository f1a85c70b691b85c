/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_EFFECTS_SETUP_LISTS_H
#define RESTPOINT_ADVISE_EFFECTS_SETUP_LISTS_H

#include "advise/effects.h"

/* The set-ups, group by group. What practitioners say is common practice, without a source; regimes
 * and reasons were found by playing each family of set-ups over paces, sides and angles with a ball
 * of grip 1, 0.7 and 0.5. Part of advise/effects. */

#define EFFECT_CAUTION_RAISED                                                                      \
	"Caution: jump and masse strokes can hurt eyes and tear the cloth; keep bystanders away, " \
	"and "                                                                                     \
	"ask for the house rules before you try one."

extern const struct effect_setup effects_setups_cloth[], effects_setups_rails[],
    effects_setups_balls[];
extern const size_t effects_setups_cloth_count, effects_setups_rails_count,
    effects_setups_balls_count;

#endif
