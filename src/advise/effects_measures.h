/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_EFFECTS_MEASURES_H
#define RESTPOINT_ADVISE_EFFECTS_MEASURES_H

#include "advise/effects_bench.h"

/* What is measured of set-ups on a bench (see struct effect_play for the arguments). Each plays its
 * set-up and gives one number; NaN where it does not come about (a ball does not get so far). Part
 * of advise/effects. */

typedef double effect_measure(const struct effects_bench *bench, const struct effect_play *play);

/* On the cloth, without a rail. */

/* A straight shot at a ball `distance` away: how far back the cue ball stops from where it met the
 * ball [diamonds]; negative: it follows. And how far it follows. */
effect_measure effect_draw, effect_follow;
/* How far a ball struck low goes until its back spin is gone [diamonds]. */
effect_measure effect_draw_kept;
/* A cut by angle_deg at a ball `distance` away: how far along the stun line (square to the line of
 * centres, from the contact) the line leaves on which the cue ball goes in the end [diamonds]; and
 * the angle between the two [degrees]. */
effect_measure effect_stun_line, effect_stun_angle;
/* A rolling ball: how long its side lasts [s]; how far it has come by then [diamonds]; what is left
 * of it after `distance` [%]. */
effect_measure effect_side_time, effect_side_distance, effect_side_left;
/* A raised cue: `distance` ahead, how far the ball is from the line of aim, to the side where squirt
 * sends it [diamonds]; how far it has come back from the line on which squirt sent it; how far it
 * is to the side of the aim line where the curve ends, whatever the distance; which way it goes
 * then [degrees from the aim]. */
effect_measure effect_side_arrival, effect_side_curve, effect_curve_width, effect_curve_direction;
/* The same as effect_side_arrival to the side struck, without squirt. */
effect_measure effect_curve_near;
/* A jump: back spin of the ball after landing `number` (0: just after the strike), as the speed of
 * its rim [m/s]; positive: it draws. With friction of the bed during the strike. */
effect_measure effect_jump_back_spin;

/* At a rail. */

/* Square from the place to the right rail: how far along the left rail, toward the side struck, it
 * comes back, or stops before it [diamonds]. */
effect_measure effect_square_return;
/* From the place to the right rail, `at` on its nose: where it meets the left rail [diamonds from
 * the head], which is carried on behind the foot rail where need be; how much less far that is than
 * without side. */
effect_measure effect_kick, effect_hold;
/* The object ball at the place sent to the right rail by the cue ball `distance` behind it: where it
 * meets the left rail [diamonds]. */
effect_measure effect_bank;
/* From the place to the foot rail, by left and on: where it crosses the middle [diamonds from the
 * head]. */
effect_measure effect_two_rails;
/* From the place to the right rail, by the foot rail: where it meets the left rail. */
effect_measure effect_three_rails;
/* A ball struck to roll meets, 2 diamonds on, an object ball `distance` from the foot rail (which
 * falls), angle_deg its cut, straight to the rail: how far from the rail it stops [diamonds]; how far along
 * the rail from there. */
effect_measure effect_stall_away, effect_stall_along;
/* The same: how far the cue ball would go from the contact until it rolls [diamonds]. */
effect_measure effect_over_spin;
/* A rolling ball meets the right rail at angle_deg to it: the angle of its way to the rail in the
 * end [degrees]; how far off the rail its edge is when it has come `distance` along it [diamonds]. */
effect_measure effect_graze_angle, effect_graze_distance;

/* Between balls. */

/* Angle between the object ball's way and the line of centres [degrees]: the cue ball comes from
 * `distance` (0: just before the contact), to cut by angle_deg. */
effect_measure effect_throw;
/* A frozen pair: the way of the second ball beside the line of the two, when the first is cut by
 * angle_deg [degrees]. */
effect_measure effect_frozen_pair;

#endif
