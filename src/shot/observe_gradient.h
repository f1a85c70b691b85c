/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_OBSERVE_GRADIENT_H
#define RESTPOINT_SHOT_OBSERVE_GRADIENT_H

#include "shot/gradient.h"
#include "shot/observe.h"

/* Derivatives of what a played shot would have measured. */

/* Of one quantity, in its units per unit of each direction. */
struct observed_gradient {
	struct gradient_row value;
	struct gradient_row along, across; /* rests and rails */
};

/* Fills out[number] for the quantities of the mask, as observe does; what stands in for an event
 * that did not happen has its derivatives too. The record and the gradient are of one play. */
void observe_gradient(const struct shot_record *record, const struct shot_gradient *gradient,
                      const struct shot_design *design, const struct table *table,
                      const struct microphone *microphone, uint32_t mask,
                      struct observed_gradient out[QUANTITY_COUNT]);

#endif
