/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_DRAW_H
#define RESTPOINT_TESTS_OUTSIDE_DRAW_H

#include <stddef.h>

#include "base/random.h"
#include "model/constants.h"
#include "outside_cloth.h"
#include "table/table.h"

/* Random shots on the table presets, for comparisons of two simulators. */

struct outside_shot {
	struct table table;
	struct constants constants;
	size_t count;
	struct ball_body bodies[OUTSIDE_BALLS];
	struct ball_state states[OUTSIDE_BALLS]; /* at rest; the first is the cue ball */
	double speed, aim, side, height;         /* [m/s], [rad], radii */
	double elevation, end_mass_ratio;        /* [rad]; one of them is 0 */
};

/* Number `which`: presets and numbers of balls, one to three, by turns; places of the balls
 * anywhere but inside one another, one time in ten in touch with one another or frozen to a rail;
 * the cue ball struck at another ball, more or less full, or anywhere, with 0.5 to 6 m/s and a tip
 * within half a radius, one time in five from above, one in five with squirt; one in ten each
 * straight at a rail without side, full on another ball, slower than 0.5 m/s. Constants from their
 * priors, within their limits; grips of 0.6 to 1.4 half of the time. */
void outside_draw_shot(struct random_stream *stream, int which, struct outside_shot *shot);

/* Gives a shot the optional terms, too: slopes that let balls stop, restitution and friction that
 * fall with speed. */
void outside_draw_terms(struct random_stream *stream, struct outside_shot *shot);

#endif
