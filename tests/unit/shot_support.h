/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_SHOT_SUPPORT_H
#define RESTPOINT_TESTS_SHOT_SUPPORT_H

#include <stddef.h>

#include "base/random.h"
#include "model/constants.h"
#include "shot/play.h"
#include "table/table.h"

/* Shots for tests of src/shot, played without a protocol. */

struct shot_support {
	struct table table;
	struct constants constants;
	struct ball_body bodies[SHOT_BALLS];
	struct ball_state states[SHOT_BALLS];
	struct shot_scene scene;
	struct shot_need need; /* everything */
};

/* A pool-9ft table without pockets, constants at the centre of their priors, `balls` like balls at
 * rest in places that are not near one another or a rail. The structure must not be copied. */
void shot_support_start(struct shot_support *shot, size_t balls);

/* Uniform between low and high. */
double shot_support_between(struct random_stream *stream, double low, double high);

/* Every constant anywhere within its hard limits. */
void shot_support_draw_constants(struct random_stream *stream, struct constants *constants);

/* Balls in random places, not inside one another; the first is struck in any direction with a tip
 * anywhere within the miscue limit, of up to half the radius. */
void shot_support_draw_shot(struct random_stream *stream, struct shot_support *shot);

/* Plays to the end, or to need. */
void shot_support_play(const struct shot_support *shot, const struct shot_need *need,
                       struct shot_record *record);

/* A ball on the bed with velocity v along `heading`, R w for follow (rolling = v) and side. */
struct ball_state shot_support_ball(double x, double y, double radius, double heading, double v,
                                    double follow, double side);

#endif
