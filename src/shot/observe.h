/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_OBSERVE_H
#define RESTPOINT_SHOT_OBSERVE_H

#include <stdbool.h>
#include <stdint.h>

#include "model/protocol.h"
#include "shot/play.h"

/* What a played shot would have measured: every quantity of a measurement file, without reading
 * errors. Used alike by the fit, the design of shots and the tests. */

/* Speed of sound between the contact and the phone [m/s] (formats.md 3). */
#define SOUND_SPEED 343.0

/* One quantity. Where an event did not happen, the place and the time at which the ball stopped
 * stand in for it, so that what is compared with a reading stays continuous. */
struct observed {
	bool happened;
	bool pocketed;                 /* rests: the ball fell */
	double value;                  /* rests: diamonds; rails: diamonds along `rail`; times: s */
	enum rail rail;                /* rails, when it happened */
	double along, across;          /* rests and rails: centre of the ball, long and short [diamonds] */
};

/* Where the phone lay. */
struct microphone {
	bool known;
	double along, across; /* long and short [diamonds] */
};

/* Which events must happen before the quantities of the mask (bit 1 << number) can be told. */
void observe_need(const struct shot_design *design, uint32_t mask, struct shot_need *need);

/* Fills out[number] for the quantities of the mask; the others are left alone. The record's balls
 * are those of ball_role, and it was played at least until observe_need.
 *   microphone  may be NULL: the sound's way is not allowed for
 *   start       position of the cue ball at the strike [m] */
void observe(const struct shot_record *record, const struct shot_design *design,
             const struct table *table, const struct microphone *microphone, struct vector3 start,
             uint32_t mask, struct observed out[QUANTITY_COUNT]);

/* A number that is equal for two plays if (and, but for chance, only if) the contacts that are
 * needed come in the same order: counted rail contacts of each ball with their rails, contacts of
 * two balls, audible contacts with their kind. For the design of protocols. */
uint64_t observe_order(const struct shot_record *record, const struct shot_need *need);

#endif
