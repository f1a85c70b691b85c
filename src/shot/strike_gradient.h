/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_STRIKE_GRADIENT_H
#define RESTPOINT_SHOT_STRIKE_GRADIENT_H

#include "shot/gradient.h"
#include "shot/setup.h"

/* The numbers of a stroke as directions of a play (shot/gradient.h): the first ones. */
enum strike_direction {
	STRIKE_SPEED,  /* [1/(m/s)] */
	STRIKE_TURN,   /* [1/rad] */
	STRIKE_HEIGHT, /* per radius */
	STRIKE_SIDE,   /* per radius */
	STRIKE_DIRECTIONS
};

/* Sets the derivatives of the struck ball's state just after the strike by these directions; those
 * by the others stay. Arguments as shot_setup_strike. */
void strike_gradient(const struct shot_setup *setup, const struct shot_design *design,
                     const struct stroke *stroke, double end_mass_ratio,
                     struct shot_gradient *gradient);

#endif
