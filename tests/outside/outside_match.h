/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_MATCH_H
#define RESTPOINT_TESTS_OUTSIDE_MATCH_H

#include "outside_solver.h"
#include "shot/play.h"

/* How exact the program and the outside reference are, so that their speeds can be compared at
 * equal accuracy:
 *     outside_player_play with OUTSIDE_PROOF gives what is true,
 *     outside_match_distance the error of the program's record,
 *     outside_match_accuracy the accuracy at which the reference errs as much.
 * Then a player opened with that accuracy is timed. */

/* The largest distance between the places of events and of ends of both [m]; HUGE_VAL when the
 * events differ. */
double outside_match_distance(const struct outside_record *truth, const struct shot_record *got,
                              size_t balls);

/* The coarsest accuracy, by factors of the square root of 10 from 1e-2 on, at which the reference
 * errs by no more than `error` [m] on that shot, there and at the next finer one; its steps are as
 * long as the solver likes. *found receives its error [m]. False when not even 1e-13 does, or
 * memory is out. */
bool outside_match_accuracy(const struct outside_scene *scene, const struct ball_state *states,
                            size_t balls, double error, struct outside_accuracy *accuracy,
                            double *found);

#endif
