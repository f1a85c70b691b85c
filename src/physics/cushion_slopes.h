/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_SLOPES_H
#define RESTPOINT_PHYSICS_CUSHION_SLOPES_H

#include "physics/cushion.h"
#include "physics/cushion_impact.h"

/* The derivatives of an impact from what was carried along its course. Internal to src/physics.
 *   run          at the end, with its tangent; in units of speed
 *   restitution  as used, in [0, 1]
 *   unit         of speed [m/s] */
void slopes_gather(const struct impact_run *run, double restitution, double unit,
                   struct cushion_slopes *slopes);

#endif
