/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_CLOTH_H
#define RESTPOINT_TESTS_OUTSIDE_CLOTH_H

#include <stdbool.h>
#include <stddef.h>

#include "model/constants.h"
#include "outside_integrator.h"
#include "physics/ball.h"
#include "table/table.h"

/* Balls on the cloth (physics.md 1) as one system of differential equations, and the functions
 * whose roots are events. Of src only the plain data of the headers above are used.
 *
 * A slip or a speed whose end is awaited is stopped at 1e-10 m/s, and the rest of its way taken
 * with the rates of that moment: in the end its direction is singular on a slope. */

#define OUTSIDE_BALLS 5

/* The numbers of one ball: place [m], velocity, R w [m/s]. */
enum {
	OUTSIDE_BALL_X,
	OUTSIDE_BALL_Y,
	OUTSIDE_BALL_VX,
	OUTSIDE_BALL_VY,
	OUTSIDE_BALL_WX,
	OUTSIDE_BALL_WY,
	OUTSIDE_BALL_WZ,
	OUTSIDE_BALL_NUMBERS
};

/* The root functions of one ball; those of the pairs follow after the last ball, two for each pair
 * (0, 1), (0, 2) ... (1, 2) ...: the gap, and the rate of the squared distance. */
enum {
	OUTSIDE_ROOT_RAIL, /* RAIL_COUNT of them: the distance from the frozen line */
	OUTSIDE_ROOT_TURN_X = RAIL_COUNT,
	OUTSIDE_ROOT_TURN_Y,
	OUTSIDE_ROOT_PHASE,
	OUTSIDE_ROOT_SPIN,
	OUTSIDE_BALL_ROOTS
};

enum outside_phase { OUTSIDE_RESTS, OUTSIDE_ROLLS, OUTSIDE_SLIDES };

struct outside_ball {
	bool on_table;
	enum outside_phase phase;
	double turning;           /* sign of the side spin, or 0 */
	double toward[2];         /* recent direction of the slip, or of the rolling motion */
	double pull[2];           /* of gravity, along the bed [m/s^2] */
	bool carried[RAIL_COUNT]; /* lies at that rail and does not move across it */
	bool straight[2];         /* does not move along x, y but by rounding */
};

struct outside_cloth {
	const struct table *table; /* NULL: a bed without end */
	const struct constants *constants;
	const struct ball_body *bodies;
	size_t count;
	struct outside_ball balls[OUTSIDE_BALLS];
};

/* The system of the balls: its data is the cloth, which must outlive it. */
struct outside_system outside_cloth_system(const struct outside_cloth *cloth);

/* Numbers and roots of all balls. */
int outside_cloth_size(size_t count);
int outside_cloth_roots(size_t count);
/* The first of the two root functions of the pair i < j. */
int outside_cloth_pair_root(size_t count, size_t i, size_t j);

/* Decides what each ball does from here on, y being its state: slides, rolls or rests; spins; lies
 * at a rail. A slip or speed of at most 1e-9 m/s is none, nor a side spin of 1e-13 m/s; a ball
 * that rolls is given R w = v. */
void outside_cloth_begin(struct outside_cloth *cloth, double *y);

/* Keeps up with the directions after an accepted step. */
void outside_cloth_follow(struct outside_cloth *cloth, const double *y);

/* Ends the phase of ball i, whose root was met: moves all balls by the rest of its time, which is
 * returned [s], and takes away the slip or the speed that is left. */
double outside_cloth_end_phase(struct outside_cloth *cloth, size_t i, double *y);

/* Distance of ball i from its frozen line at a rail, negative beyond it [m], and its speed toward
 * the rail [m/s]. */
double outside_cloth_rail_gap(const struct outside_cloth *cloth, size_t i, const double *y,
                              enum rail rail);
double outside_cloth_rail_speed(size_t i, const double *y, enum rail rail);

/* Gap between two balls [m], also where their centres stand at different heights, and half the rate
 * of their squared distance [m^2/s]. */
double outside_cloth_pair_gap(const struct outside_cloth *cloth, size_t i, size_t j,
                              const double *y);
double outside_cloth_pair_rate(size_t i, size_t j, const double *y);

/* Acceleration of ball i along the bed [m/s^2]. */
void outside_cloth_acceleration(const struct outside_cloth *cloth, size_t i, const double *y,
                                double acceleration[2]);

#endif
