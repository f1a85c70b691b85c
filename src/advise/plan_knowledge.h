/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_KNOWLEDGE_H
#define RESTPOINT_ADVISE_PLAN_KNOWLEDGE_H

#include <stdbool.h>

#include "base/random.h"
#include "estimate/stroke_case.h"
#include "model/profile.h"

/* What is known of the constants before a session, on the standardised scale of the priors: normal,
 * and within the hard limits. */
struct plan_knowledge {
	double centre[CONSTANT_COUNT];
	double covariance[CONSTANT_COUNT][CONSTANT_COUNT];
	bool has_clock; /* the cloth frictions were told apart by an earlier session */
};

/* Nothing but the priors. */
void plan_knowledge_none(struct plan_knowledge *known);

/* What a profile tells: its estimates (of a constant that is not determined the narrowed ones) with
 * their correlations where it has them. The deviations are on the fitted scales. False when that is
 * no covariance. */
bool plan_knowledge_take(const struct profile *profile, struct plan_knowledge *known);

/* Draws constants, standardised. */
void plan_knowledge_draw(const struct plan_knowledge *known, struct random_stream *stream,
                         double constants[CONSTANT_COUNT]);

/* The inverse of the covariance. False when it has none. */
bool plan_knowledge_precision(const struct plan_knowledge *known,
                              double precision[CONSTANT_COUNT][CONSTANT_COUNT]);

#endif
