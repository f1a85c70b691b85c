/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_RAMP_H
#define RESTPOINT_ADVISE_RAMP_H

#include <stdbool.h>

/* How to lean a straight ramp so that a ball leaves it at a given speed. */

/* Lengths in metres. */
struct ramp_layout {
	double drop;   /* how far the centre of the ball comes down on the ramp */
	double travel; /* along the ramp, from where it is let go to where it leaves */
	double ride;   /* how high it rides when it leaves: its lowest point above the bed */
	double ahead; /* along the shot, from the low end to where the ball first touches the bed */
	double spin_ratio; /* R w / v when it leaves: 1 on a flat board, more in a groove */
};

/* A ball let go at rest that rolls without slipping on two lines of contact, the edges of a groove
 * of full angle `groove`, turns about an axis R sin(groove/2) above them, so R w = v / sin(groove/2).
 * Energy (m g drop = m v^2/2 + (2/5) m R^2 w^2 / 2) gives
 *
 *     drop = v^2 / (2 g) * (1 + 2 / (5 sin^2(groove/2)))
 *
 * and 7/10 v^2 / g on a flat board (groove pi). Own derivation from the energy of a rolling solid
 * sphere, as in the textbooks; no losses, so a real ball comes a little slower.
 * In a groove the ball rides R (1/sin(groove/2) - 1) above the groove's bottom, taken to be at the
 * bed where the ramp ends; from there it falls freely to the bed. On a flat board whose low edge
 * lies on the bed, a ball touches board and bed at once R tan(lean/2) ahead of the edge.
 *   speed   along the ramp where the ball leaves it [m/s], above 0
 *   groove  full angle [rad], above 0, pi for a flat board
 *   radius  of the ball [m]
 *   lean    of the ramp against the bed [rad], above 0 and below a right angle
 * False for other arguments. */
bool ramp_layout_make(double speed, double groove, double radius, double lean,
                      struct ramp_layout *layout);

#endif
