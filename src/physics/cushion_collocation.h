/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_COLLOCATION_H
#define RESTPOINT_PHYSICS_CUSHION_COLLOCATION_H

#include "physics/cushion_tangent.h"

/* The changes carried along a smooth part of an impact. Internal to src/physics. */

/* Whether a change of a contact's slip turns its friction. */
bool collocation_turns(const struct impact *impact, enum contact_place place);

/* Carries the changes along a part of a step.
 *   impact    motions during the step, directions at its start
 *   straight  whose slip goes straight to its end at the end of the step, or CONTACT_PLACES
 *   from, to  in the variable of the series */
void collocation_cross(struct impact_tangent *tangent, const struct impact *impact,
                       const struct impact_series *series, enum contact_place straight, double from,
                       double to);

#endif
