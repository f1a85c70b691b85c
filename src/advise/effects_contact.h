/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_EFFECTS_CONTACT_H
#define RESTPOINT_ADVISE_EFFECTS_CONTACT_H

#include "advise/effects_bench.h"

/* The cue ball of a set-up struck along y into a ball at rest, on an endless cloth. Part of
 * advise/effects. */

/* Where the object ball lies so that the cue ball, going along y from (0, 0), cuts it by angle_deg:
 * to the right of its way, its centre play->distance diamonds ahead, or, for 0, where the two all
 * but touch. */
struct ball_state effects_object(const struct effects_bench *bench, const struct effect_play *play);

/* The states of cue ball and object ball just after their contact. False where there is none. */
bool effects_contact(const struct effects_bench *bench, const struct effect_play *play,
                     struct ball_state states[2]);

#endif
