/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_GLIDE_H
#define RESTPOINT_PHYSICS_CUSHION_GLIDE_H

#include "physics/cushion_impact.h"

/* The course of a cushion impact while both contacts slide on a bed that bears, by an explicit
 * Runge-Kutta method of order 8. Internal to src/physics. At the tolerance that shots are played
 * with, it takes some seven steps for five of the series, each in far less time. */

/* Whether the present state is one for it. slip: of both contacts, directions and sizes of which
 * stand in the run. */
bool glide_serves(const struct impact_run *run, const vector2 slip[CONTACT_PLACES]);

/* Steps until the impact has ended (run->part is then PART_ENDED), or a slip is so small that it
 * has ended or goes its one way: the state is left there. False when the steps run away or a number
 * is not finite. */
bool glide_on(struct impact_run *run);

#endif
