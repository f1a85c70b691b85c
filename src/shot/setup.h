/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_SETUP_H
#define RESTPOINT_SHOT_SETUP_H

#include <stdbool.h>

#include "model/protocol.h"
#include "model/stroke.h"
#include "physics/ball.h"
#include "table/table.h"

/* A designed shot on a given table with given balls: where the balls stand and which way the cue
 * points, before anybody strikes. */
struct shot_setup {
	bool present[BALL_ROLES];
	struct ball_state balls[BALL_ROLES]; /* at rest */
	struct ball_body bodies[BALL_ROLES];
	double aim; /* direction of the cue, counter-clockwise from +x [rad] */
};

/* Works out the setup. bodies: radius, mass and grip of each ball by its part. False when the
 * design cannot stand on that table (a ball outside the noses, two balls inside one another, an
 * aim that misses the ball it names or has no direction); *why is then a static sentence. */
bool shot_setup_make(const struct shot_design *design, const struct table *table,
                     const struct ball_body bodies[BALL_ROLES], struct shot_setup *setup,
                     const char **why);

/* The stroke that the design asks for. */
struct stroke shot_design_stroke(const struct shot_design *design);

/* The states just after the strike (or the release of the ramp) of a setup.
 *   end_mass_ratio   ball mass / effective end mass of the cue; 0: no squirt
 *   bed_restitution  of the constants' terms: above 0 an elevated cue makes the ball jump */
void shot_setup_strike(const struct shot_setup *setup, const struct shot_design *design,
                       const struct stroke *stroke, double end_mass_ratio,
                       double bed_restitution, struct ball_state states[BALL_ROLES]);

#endif
