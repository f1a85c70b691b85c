/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_WAY_H
#define RESTPOINT_PHYSICS_CUSHION_WAY_H

#include "physics/cushion_impact.h"

/* The one way on which a small slip goes on, and when it is on it. Internal to src/physics. */

/* A slip below this may follow, if it turns to its way much faster than it grows. */
#define WAY_SMALL_SLIP 0.005

/* Whether a small slip that slides is so near to its way that it can follow. */
bool way_is_on(const struct impact_run *run, enum contact_place place);

/* Builds the series at the present state, with the slips that can follow. slip: of the contacts, at
 * the start; brought up to date where a slip is put on its way. */
bool way_build_series(struct impact_run *run, vector2 slip[CONTACT_PLACES]);

#endif
