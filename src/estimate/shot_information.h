/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_SHOT_INFORMATION_H
#define RESTPOINT_ESTIMATE_SHOT_INFORMATION_H

#include <stdbool.h>
#include <stddef.h>

#include "estimate/stroke_case.h"

/* What strokes that nobody has played yet would tell: their information (inverse covariance) of the
 * constants on the standardised scale of the priors, which adds to that of what is known. */

/* Information of readings of the constants and of what strokes share, without any prior. Shots that
 * one player plays in one session add up here, before the shared unknowns are eliminated. */
struct shot_information {
	double at[STROKE_OUTER][STROKE_OUTER];
};

/* Adds that of one stroke whose reduced readings have these derivatives (count rows). */
void shot_information_add(double (*slopes)[STROKE_OUTER], size_t count,
                          struct shot_information *information);

/* Eliminates the aim offset, which the strokes of one shot alone share: its row and column become
 * 0. */
void shot_information_end_shot(struct shot_information *information);

/* Adds that of one stroke of a shot, with the readings of its design, played on a table of those
 * constants with those habits and that scatter, and linearised there. Its speed, aim and tip and
 * the unevenness of each rail contact are eliminated.
 *   session  gives table, balls, reading errors and microphone
 *   point    constants and shared unknowns, standardised
 * False, and nothing added, when it cannot be set up, cannot be played or gives no reading
 * there. */
bool shot_information_play(const struct shot_design *design, const struct session *session,
                           const struct stroke_point *point, const double own[OWN_UNKNOWNS],
                           struct shot_information *information);

/* What it tells of the constants when nothing but its prior is known of what is shared, with the
 * blocks A of the constants, B of the shared unknowns, C between: the Schur complement
 *   A - C (1 + B)^-1 C'.
 * False when a number is not finite. */
bool shot_information_reduce(const struct shot_information *information,
                             double reduced[CONSTANT_COUNT][CONSTANT_COUNT]);

/* Covariance with the information of further strokes added, both on the standardised scale of the
 * priors: (covariance^-1 + information)^-1. after may be covariance. False where that has no
 * inverse. */
bool shot_information_narrow(double covariance[CONSTANT_COUNT][CONSTANT_COUNT],
                             double information[CONSTANT_COUNT][CONSTANT_COUNT],
                             double after[CONSTANT_COUNT][CONSTANT_COUNT]);

#endif
