/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_TANGENT_H
#define RESTPOINT_PHYSICS_CUSHION_TANGENT_H

#include "physics/cushion_series.h"

/* How the state of a cushion impact changes with the slips it starts from and with its two
 * friction coefficients, carried along the course of the impact. Internal to src/physics.
 *
 * The four numbers of the two slips say all that the course depends on: the speed into the rail is
 * one of their combinations, and equal parts of travel along the rail and of spin that leave both
 * slips alone stay as they are. Changes are those at equal impulse since the last event, and come
 * in pairs of columns, which the compilers' vector type works on at once. */

enum tangent_pair { TANGENT_NOSE_SLIP, TANGENT_BED_SLIP, TANGENT_FRICTION, TANGENT_PAIRS };

/* A sliding slip below this size is near to zero: rounding has taken digits of its direction, and
 * other quantities hardly change until it has passed. Nothing is carried along until the slip has
 * ended (cushion_passage.h) or has grown again. */
#define TANGENT_NEAR 1e-10

struct tangent_near {
	bool is;
	enum contact_place place;
	enum contact_motion other;     /* of the other contact */
	vector2 slip;                  /* where the changes have been carried to, */
	struct friction start;         /* and friction there */
	vector2 force[CONTACT_PLACES]; /* impulses of friction since then */
	double impulse;                /* of the normal force */
};

struct impact_tangent {
	bool coarse;              /* a ten-thousandth is exact enough */
	vector2 slip[CONTACT_PLACES][2][TANGENT_PAIRS]; /* part by part */
	vector2 along[TANGENT_PAIRS];                   /* of the velocity along the rail */
	vector2 work[TANGENT_PAIRS];
	struct impact end;        /* motions and directions at the end of the last step */
	struct friction friction; /* there */
	double into;              /* speed into the rail, there */
	struct tangent_near near;
	bool ended[CONTACT_PLACES];     /* slips that have ended, */
	vector2 before[CONTACT_PLACES]; /* and their directions until then */
};

/* Starts the changes at the start of an impact; tangent->coarse is set already. */
void tangent_start(struct impact_tangent *tangent, const struct impact *impact, double into);

/* Carries the changes along a step of the series. ends is where the slip of a sliding contact ends
 * at the end of the step, or CONTACT_PLACES. */
void tangent_step(struct impact_tangent *tangent, const struct impact *impact,
                  const struct impact_series *series, double length, enum contact_place ends);

/* Waiting for a slip that is near to zero has come to an end: brings the changes up to date. */
void tangent_leave(struct impact_tangent *tangent);

/* The slip of a contact that slid or followed has ended; nothing has been decided yet about how it
 * goes on. */
void tangent_end_slip(struct impact_tangent *tangent, enum contact_place place);

/* How a contact without slip goes on has been decided, as impact says: a change of its slip leaves
 * behind what it does in passing zero, dies out while it sticks, or shifts the start of the slip if
 * it follows. */
void tangent_begin(struct impact_tangent *tangent, const struct impact *impact,
                   enum contact_place place);

/* The end of compression, where the speed into the rail vanishes, and the end of restitution, where
 * the work does: shifts the state to where that happens. */
void tangent_end_compression(struct impact_tangent *tangent);
void tangent_end_restitution(struct impact_tangent *tangent);

/* Rates of the speeds along and into the rail at the end of the last step, per impulse. */
double tangent_along_rate(const struct impact_tangent *tangent);
double tangent_into_rate(const struct impact_tangent *tangent);

#endif
