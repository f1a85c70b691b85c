/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_SHOT_CARD_H
#define RESTPOINT_ADVISE_SHOT_CARD_H

#include <stddef.h>
#include <stdint.h>

#include "advise/ramp.h"
#include "advise/stop_area.h"
#include "base/status.h"
#include "shot/traced_shot.h"

/* Everything that the sheet of one shot tells: how to play it, where it should go, and what to write
 * down in which order. */

/* The lean for which ramps are laid out: a rise of 1 in 5, gentle enough that the ball rolls on
 * cardboard and wood. */
#define SHOT_CARD_RAMP_RISE 0.2

struct shot_card {
	const struct shot_design *design;
	struct traced_shot traced; /* as designed, on the middle of what is known of the table */
	double lengths;            /* its speed (advise/pace.h); NAN: unknown */
	struct ramp_layout ramp;   /* of a shot from a ramp, with SHOT_CARD_RAMP_RISE */
	struct stop_area area;
	size_t box_count;
	int boxes[QUANTITY_COUNT]; /* the readings to write down, in the order of what they are read
	                              from; sounds, which are read from a recording, at the end */
};

/* Works it out; arguments as in stop_area_make. STATUS_OK; STATUS_INPUT with a static sentence in
 * *why when the shot cannot stand on that table or does not come to rest; STATUS_SYSTEM. Release
 * with shot_card_free in any case. */
enum status shot_card_make(const struct shot_design *design, const struct session *session,
                           const struct constant_draws *constants, uint64_t seed, uint64_t stream,
                           unsigned threads, struct shot_card *card, const char **why);
void shot_card_free(struct shot_card *card);

/* Whether a card shows the area in which a ball stops: one that is read at rest, or timed to its
 * rest; in a shot that has none, the cue ball. */
bool shot_card_shows_area(const struct shot_design *design, enum ball_role ball);

#endif
