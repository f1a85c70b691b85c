/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_PASSAGE_H
#define RESTPOINT_PHYSICS_CUSHION_PASSAGE_H

#include "physics/cushion_rates.h"

/* What a change of a slip that is about to pass zero leaves behind. Internal to src/physics.
 *
 * So small a slip passes while nothing else changes, by rates that depend on its angle alone. Hence
 * the impulses that the forces give from now on, less those that they would have given had friction
 * been from now on as it is after the passage, are in proportion to the slip: |slip| q(angle). The
 * course of the slip makes that
 *
 *     turn q' + ahead q = -(force - force after),
 *
 * with the parts of the slip's rate along its direction (ahead) and across it (turn). Of its
 * solutions q is the one that is smooth where the course leads: at the angle to which the slip
 * turns, where turn is zero. q and q' are the derivatives by a change of the slip along and across
 * its direction. */

/* Impulses of the forces (force is all that is set) by a change of the slip. */
struct passage {
	struct friction along, across;
};

/*   before  the slip of the contact still slides, in direction[place]
 *   after   friction when it has gone on or stuck
 * False when friction at the contact does not depend on the angle, or none can be found to which
 * the slip turns: then there is nothing to take into account. */
bool passage_find(const struct impact *before, const struct friction *after,
                  enum contact_place place, struct passage *passage);

#endif
