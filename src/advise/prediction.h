/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PREDICTION_H
#define RESTPOINT_ADVISE_PREDICTION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "advise/outline.h"
#include "advise/player_draws.h"
#include "advise/table_draws.h"
#include "base/status.h"
#include "model/measurement.h"
#include "model/protocol.h"
#include "shot/traced_shot.h"

/* Where the balls of a shot stop and touch on a table that was measured: the shot is played many
 * times, each time on a table as the measurement allows, with rail contacts that differ a little
 * from one to the next (physics.md 6), and with a stroke as designed or as a person plays it. So an
 * interval is one for the next ball that is really played, not for the mean of many: rail contacts
 * always differ, whoever strikes. Errors of reading are not part of it. */

#define PREDICTION_DRAWS 4000
#define PREDICTION_DRAWS_LEAST 100
#define PREDICTION_DRAWS_MOST 100000
#define PREDICTION_COVERAGE 0.95
#define PREDICTION_POCKETS 6
#define PREDICTION_RARE 0.01 /* what happens in fewer plays, and not as designed, is left out */

/* The middle part of numbers. */
struct predicted_span {
	double median;
	double low95, high95; /* one more number of the same kind lies between them with probability
	                         0.95, or a little more, whatever the distribution; with fewer than 39
	                         numbers they are the least and the greatest, which hold less */
};

/* One reading. */
struct predicted_reading {
	int quantity;             /* model/quantity.h */
	bool designed;            /* it happens in the shot as designed, at the profile's values */
	double as_designed;       /* diamonds or seconds, 0 where it does not happen */
	enum rail designed_rail;  /* of a rail contact, else RAIL_COUNT */
	size_t seen;              /* plays in which it happens; of a rest: with the ball on the bed */
	size_t rails[RAIL_COUNT]; /* of a rail contact: of these, by the rail */
	enum rail rail;           /* of a rail contact: whose span it is, the designed rail where plays
	                             meet it, else the one that most do */
	struct predicted_span span; /* of the plays in which it happens, for a rail contact at `rail` */
};

/* What becomes of one ball. */
struct predicted_ball {
	size_t rests;                       /* plays that end with it on the bed */
	size_t pockets[PREDICTION_POCKETS]; /* that end in each pocket: left and right at the head,
	                                       in the middle, at the foot */
	int designed_pocket;                /* in the shot as designed; -1: none */
	size_t fallen, left;                /* in any of them; over a rail */
	struct outline_point *places;       /* where it rests, x across, y along [m]; `rests` of them */
	struct outline outline;   /* around PREDICTION_COVERAGE of the rests of every second play */
	size_t tested, inside;    /* rests of the other plays, and of these in the outline */
};

struct prediction {
	const struct shot_design *design;
	struct traced_shot traced; /* as designed, at the profile's values */
	size_t draws, played;      /* plays, and those of them that came to their end, of which all counts
	                              are */
	size_t reading_count;
	struct predicted_reading readings[QUANTITY_COUNT]; /* by ball: its rails, its rest; then watch
	                                                      intervals, sounds. Left out: rare ones */
	struct predicted_ball balls[BALL_ROLES];
};

/* What a prediction is made from. */
struct prediction_task {
	const struct session *session; /* table, balls, cue */
	const struct table_draws *table;
	const struct player_draws *player;
	size_t draws;
	uint64_t seed;
	unsigned threads; /* base/parallel.h; the result is the same for any number */
};

/*   stream  number of the shot: shots of other numbers draw independently under one seed
 * STATUS_OK; STATUS_INPUT with a static sentence in *why when the shot cannot stand on that table
 * or does not come to rest; STATUS_SYSTEM. The design and the session must outlive *prediction;
 * release it with prediction_free in any case. */
enum status prediction_make(const struct shot_design *design, const struct prediction_task *task,
                            uint64_t stream, struct prediction *prediction, const char **why);
void prediction_free(struct prediction *prediction);

/* The span of numbers, which it sorts; count above 0. */
struct predicted_span prediction_span(double *values, size_t count);

#endif
