/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_SHAPES_H
#define RESTPOINT_ADVISE_PLAN_SHAPES_H

#include <stdbool.h>

#include "model/protocol.h"

/* One shot of each kind by a few numbers: where its balls lie, its aim, its stroke, and all that
 * the kit lets one read. Places in diamonds, speeds in m/s, tips as fractions of the radius;
 * `mirrored` above 0 takes left for right. False where the balls do not lie beside one another
 * on the bed. The design must be zero. Internal to the family of a plan. */

/* cue long, speed, watch presses */
bool plan_shape_lag(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short, speed */
bool plan_shape_roll(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short */
bool plan_shape_ramp_roll(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short */
bool plan_shape_ramp_cross(const double *at, unsigned kit, struct shot_design *design);
/* long, cue short, speed, side, height, mirrored */
bool plan_shape_cross(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short, how far along, speed, mirrored */
bool plan_shape_kick(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short, foot, speed, side, mirrored */
bool plan_shape_running(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short, right rail, speed, side, mirrored */
bool plan_shape_three(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short, object farther along, object farther across, fullness (left below 0),
 * speed */
bool plan_shape_cut(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short, object farther along, object farther across, height, speed */
bool plan_shape_full(const double *at, unsigned kit, struct shot_design *design);
/* cue long, object long, speed */
bool plan_shape_follow(const double *at, unsigned kit, struct shot_design *design);
/* cue long, cue short, line of centres along, across, speed, mirrored */
bool plan_shape_pair(const double *at, unsigned kit, struct shot_design *design);
/* cue long, distance, speed, side */
bool plan_shape_spin(const double *at, unsigned kit, struct shot_design *design);

#endif
