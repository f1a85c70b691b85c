/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_SHOT_CHECKS_H
#define RESTPOINT_TESTS_SHOT_CHECKS_H

#include "shot/play.h"

/* What every play must keep to, whatever it is given: it never hangs and never lies. For random
 * tests and the fuzzer. Programs that use this are linked with
 * -Wl,--wrap=contacts_rail,--wrap=contacts_balls so that energy is added up around each contact. */

/* Whether every number that a play may read is finite and every body has a size and a mass. */
bool shot_checks_sound(const struct shot_scene *scene, const struct ball_state *states);

/* Whether the scene and the start are such as a table can have: a valid table, constants within
 * their hard limits, balls on the bed or above it, inside the noses, not inside one another. */
bool shot_checks_proper(const struct shot_scene *scene, const struct ball_state *states);

/* Plays, and judges what came of it. NULL when all is well, else a static sentence. The rules:
 *   always        the ending is one that exists; events are in order of time and of balls that
 *                 exist; a play called complete has no number that is not a number
 *   not sound     the play is called broken
 *   proper        the play comes to an end, unless a slope keeps a ball going; balls stay within the
 *                 noses; none ends inside another; energy never rises */
const char *shot_checks_play(const struct shot_scene *scene, const struct ball_state *states,
                             const struct shot_need *need, struct shot_record *record);

/* The largest rise of energy of the latest proper play, relative to its scale, and where. */
double shot_checks_rise(const char **where);

#endif
