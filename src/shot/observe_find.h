/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_OBSERVE_FIND_H
#define RESTPOINT_SHOT_OBSERVE_FIND_H

#include <stdbool.h>

#include "model/quantity.h"
#include "shot/play.h"

/* Which event of a record a quantity is read from. Internal to src/shot. */

/* Place among the events of a counted rail contact of a ball, or of a contact of two balls; -1:
 * it did not happen. */
int observe_find_rail(const struct shot_record *record, enum ball_role ball, int number);
int observe_find_contact(const struct shot_record *record, int number);

/* The ball that was the last to stop. */
size_t observe_find_last_rest(const struct shot_record *record);

/* Whether an event is heard as a sound of its own; *last is the time of the sound before, and
 * receives that of this one. */
bool observe_sounds(const struct shot_event *event, double *last);

/* Places of the audible contacts, in order; returns how many. by_ramp: a strike that is silent. */
int observe_find_sounds(const struct shot_record *record, bool by_ramp,
                        int events[SOUND_READINGS]);

#endif
