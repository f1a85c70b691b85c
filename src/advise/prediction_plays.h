/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PREDICTION_PLAYS_H
#define RESTPOINT_ADVISE_PREDICTION_PLAYS_H

#include "advise/prediction.h"

/* The plays that a prediction is made from. Part of advise/prediction. */

struct played_reading {
	double value;   /* as in struct observed */
	bool happened;  /* of a rest: it happened on the bed */
	signed char rail;
};

struct played_shot {
	bool whole; /* it came to its end */
	struct ball_end ends[BALL_ROLES];
	struct played_reading readings[QUANTITY_COUNT];
};

/* Every quantity that the shot can give: rests and rails of its balls, its intervals, all
 * sounds. */
uint32_t prediction_mask(const struct shot_design *design);

/* What was observed of the quantities of a mask, beside the ends of the balls. A ball that falls
 * does not come to rest: neither where nor when. */
void prediction_readings(const struct shot_design *design, uint32_t mask,
                         const struct observed observed[QUANTITY_COUNT],
                         const struct ball_end ends[BALL_ROLES],
                         struct played_reading readings[QUANTITY_COUNT]);

/* Plays the scene task->draws times; `plays` has room for as many. STATUS_OK or STATUS_SYSTEM. */
enum status prediction_play(const struct stroke_scene *scene, const struct prediction_task *task,
                            uint64_t stream, struct played_shot *plays);

#endif
