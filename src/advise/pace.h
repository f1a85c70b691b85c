/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PACE_H
#define RESTPOINT_ADVISE_PACE_H

#include "model/constants.h"
#include "physics/ball.h"
#include "table/table.h"

/* A speed as players judge it: in lengths of the table.
 * The way, in lengths from cushion to cushion (the playing length less a ball), that a ball of that
 * speed goes when it starts at the head rail, rolls from the start, and runs straight up and down
 * the middle of the table, taken as level, until it stops; each cushion takes its part. A lag from
 * the head rail that comes back to the head rail is 2 lengths.
 *   speed  just after the strike [m/s], above 0
 * NAN where the ball cannot be played. */
double pace_lengths(const struct table *table, const struct constants *constants,
                    const struct ball_body *body, double speed);

#endif
