/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_STROKE_CASE_H
#define RESTPOINT_ESTIMATE_STROKE_CASE_H

#include <stdbool.h>
#include <stdint.h>

#include "estimate/readings.h"
#include "estimate/stroke_model.h"

/* One stroke of a fit: its readings against its model, with its own unknowns eliminated by their
 * best value for given constants and shared unknowns (physics.md 6). */

/* Own unknowns that can matter at once: the stroke's four and those of ten rail impacts. */
#define OWN_ACTIVE (OWN_STROKE + 20)
/* Outer unknowns that one stroke feels: the constants, then the shared ones. */
#define STROKE_OUTER (CONSTANT_COUNT + SHARED_UNKNOWNS)

/* Where the outer unknowns stand: constants on the standardised scale of their prior. */
struct stroke_point {
	double constants[CONSTANT_COUNT];
	double shared[SHARED_UNKNOWNS];
};

struct stroke_case {
	const char *file;
	const struct stroke_row *row;
	struct stroke_scene scene;
	struct stroke_readings readings;
	int parameter[SHARED_UNKNOWNS]; /* its place among the outer unknowns; -1: none */
	bool used;                      /* false: set aside by the fit */
	bool spoiled;                   /* set aside because it is unlikely */
	const char *mended;             /* what was changed in its readings by the fit; NULL: nothing */
	uint64_t stream;                /* of random numbers, for its search */
	bool of_many;                   /* what it tells others tell as well: rougher is good enough */
	double tolerance;               /* of cushion impacts (physics/cushion.h), where no other one
	                                   is asked for */

	double own[OWN_UNKNOWNS];       /* best, at the point accepted last */
	double cost;                    /* there: squared residuals and own unknowns */
	double residuals[RESIDUALS_MAX];/* there, of the readings */
	double foretold;                /* cost by what the others foretell (set_aside_foretell); 0:
	                                   not asked for */

	int active_count;               /* linearisation, made at the point accepted last */
	int active[OWN_ACTIVE];         /* which own unknowns matter */
	double by_own[RESIDUALS_MAX][OWN_ACTIVE];
	double by_outer[RESIDUALS_MAX][STROKE_OUTER];

	double outer[STROKE_OUTER];     /* point accepted last, and its reduced residuals with their */
	double reduced[RESIDUALS_MAX];  /* derivatives: what a step away should cost */
	double reduced_slope[RESIDUALS_MAX][STROKE_OUTER];

	double trial_own[OWN_UNKNOWNS]; /* the same at the point tried last */
	double trial_cost;
	double trial_residuals[RESIDUALS_MAX];
};

/* Value of a constant at a standardised coordinate of its prior, kept within its hard limits. */
double prior_value(enum constant_id id, double standardised);

/* Standardised coordinate of a value. */
double prior_coordinate(enum constant_id id, double value);

/* The constants of a point, with the slopes and the fall of liveliness among its shared unknowns. */
struct constants stroke_point_constants(const struct stroke_point *point);

/* Residuals of the readings at a point, for given own unknowns. False when the shot cannot be
 * played to its end there. record may be NULL. */
bool stroke_case_residuals(const struct stroke_case *stroke, const struct stroke_point *point,
                           const double own[OWN_UNKNOWNS], double *residuals,
                           struct shot_record *record);

/* The same with the accuracy of cushion impacts asked for (physics/cushion.h). */
bool stroke_case_residuals_to(const struct stroke_case *stroke, const struct stroke_point *point,
                              const double own[OWN_UNKNOWNS], double tolerance, double *residuals,
                              struct shot_record *record);

/* Takes the own unknowns that matter in a shot that was played for the active ones: the stroke's,
 * and those of the rail impacts that happened. impacts: how many each ball had. Others of trial_own
 * are set to 0. */
void stroke_case_choose_active(struct stroke_case *stroke, const unsigned *impacts);

/* Finds the best own unknowns at a point from stroke->trial_own, with the linearisation at hand
 * where that serves and a new one where it does not; fills the trial fields. False when the shot
 * cannot be played there. */
bool stroke_case_settle(struct stroke_case *stroke, const struct stroke_point *point);

/* Searches the own unknowns anew by draws from their prior and settles the best few; keeps what is
 * better than the trial fields hold. */
void stroke_case_search(struct stroke_case *stroke, const struct stroke_point *point,
                        uint64_t seed);

/* Linearises at a point and trial_own, exactly: by all active own unknowns and, if outer, by the
 * constants and shared unknowns. False as above. */
bool stroke_case_linearise(struct stroke_case *stroke, const struct stroke_point *point,
                           bool outer);

/* Makes the trial fields, at that point, the accepted ones. False when their reduced residuals are
 * not finite. */
bool stroke_case_accept(struct stroke_case *stroke, const struct stroke_point *point);

/* Cost that the linearisation of the accepted point promises at another point. */
double stroke_case_promise(const struct stroke_case *stroke, const struct stroke_point *point);

/* Reduced residuals of the trial point, with the covariance that the own unknowns give them taken
 * out: their squares sum up to the cost, and their derivatives by the outer unknowns are
 * whitened[i][j]. e: residual_count numbers. whitened may be NULL. */
bool stroke_case_reduce(const struct stroke_case *stroke, double *e,
                        double (*whitened)[STROKE_OUTER]);

/* A cost beyond which a stroke is suspected to have settled in the wrong place. */
double stroke_case_suspect(const struct stroke_case *stroke);

#endif
