/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_SERIES_H
#define RESTPOINT_PHYSICS_CUSHION_SERIES_H

#include "physics/cushion_rates.h"

/* The state of a cushion impact as power series in a variable t that starts at 0 at a given state.
 * Internal to src/physics. The equations give every coefficient from those before it; see Jorba &
 * Zou, Experimental Mathematics 14, 99 (2005), for the method and the choice of the step.
 *
 * The pace d(impulse)/dt is 1 while a contact follows; else it is the size of the slip that is
 * nearer to its end. Size times direction being the slip, this makes the equations of that contact
 * linear but for its size, and lets t run to infinity where the slip vanishes, so that steps need
 * not shrink with it. Forces and reaction are stored times the pace. */

#define SERIES_ORDER 24 /* highest power */
#define SERIES_TERMS (SERIES_ORDER + 2)

struct contact_series {
	vector2 slip[SERIES_TERMS];
	double size[SERIES_TERMS];       /* of the slip, unless it sticks */
	double inverse_size;             /* 1 / size[0] */
	vector2 force[SERIES_TERMS];     /* friction times pace */
	vector2 direction[SERIES_TERMS]; /* of a contact that does not set the pace */
	/* With a contact that follows only: */
	double turn[SERIES_TERMS];  /* d(angle of the direction)/d(impulse) */
	vector2 rate[SERIES_TERMS]; /* d(slip)/d(impulse) */
};

struct impact_series {
	int order;  /* highest power of the state; forces, reaction and pace end one before it */
	bool turns; /* false: no direction turns, the pace is 1 and the order 2 */
	bool paces[CONTACT_PLACES]; /* whose size of slip is the pace, if any */
	struct contact_series contact[CONTACT_PLACES];
	double pace[SERIES_TERMS];     /* d(impulse)/dt */
	double reaction[SERIES_TERMS]; /* K times pace, not clamped */
	double speed[SERIES_TERMS];    /* into the rail */
	double work[SERIES_TERMS];     /* on the cushion, since the start of the series */
};

/* What is accepted as the last term of a series. */
struct series_error {
	double speed; /* of slips and speed, and of the direction of a following contact */
	double turn;  /* of the direction of a sliding contact */
	double work;
};

/* Builds the series up to a power of at most SERIES_ORDER. impact->direction of sliding contacts
 * must be that of the slip; that of following ones is brought up to date.
 *   slip, size   at the start; size is that of the slip
 *   speed        into the rail, at the start
 *   left         work that is still to be given back; HUGE_VAL in compression
 * Where the end is near, lower powers may do. False when a following contact's direction cannot be found: it has to slide. */
bool series_build(struct impact_series *series, struct impact *impact, int order,
                  const vector2 slip[CONTACT_PLACES], const double size[CONTACT_PLACES],
                  double speed, double left, const struct series_error *error);

/* The ways to build it: no contact follows; one or both do; and the nose slides while a slip starts
 * from zero at a bed that bears, which the second could do too, but not as soon. The terms of order
 * zero of slips, their sizes and speed are set already. */
void series_slide(struct impact_series *series, const struct impact *impact,
                  const struct friction *friction, int order);
void series_start(struct impact_series *series, const struct impact *impact,
                  const struct friction *friction, int order);
bool series_follow(struct impact_series *series, struct impact *impact, int order, double left,
                   const struct series_error *error);

/* A sweep of series_follow where the nose follows and a bed that bears slides. The terms of order
 * zero are set, and the turns by the sweep before; slope is that of the turning rate by the
 * angle. */
void series_trail(struct impact_series *series, const struct impact *impact, double slope,
                  int order);

/* Coefficient k >= 1 of the size and the direction of a slip, from the slip's up to that one. */
void series_add_size(struct contact_series *contact, int k);
void series_add_direction(struct contact_series *contact, int k);

/* Appends the terms of order k + 1 of slips, speed and work from those of order k of forces, pace
 * and speed. */
void series_integrate(struct impact_series *series, const struct impact *impact, int k);

/* 1 / n for n up to SERIES_TERMS; divisions would take a good part of the time. */
extern const double series_inverse[SERIES_TERMS + 1];

/* The order that serves for a step if the terms go on to fall from power `known` on as they fell so
 * far, and one more; at most the one given. */
int series_order_needed(const struct impact_series *series, const struct impact *impact,
                        const struct series_error *error, int known, double step, int most);

/* The longest step at which the last terms stay below the errors, and those of a sliding slip below
 * a thousandth of it: its direction has to be known until it has ended. */
double series_step(const struct impact_series *series, const struct impact *impact,
                   const struct series_error *error);

/* Value of a series of vectors up to a power. */
vector2 series_vector(const vector2 *c, int degree, double t);

/* What friction does in a step, and its normal impulse: the integrals of forces and pace. */
void series_advance(const struct impact_series *series, double step, vector2 force[CONTACT_PLACES],
                    double *impulse);

#endif
