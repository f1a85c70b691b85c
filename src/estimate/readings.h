/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_READINGS_H
#define RESTPOINT_ESTIMATE_READINGS_H

#include <stddef.h>

#include "estimate/stroke_model.h"
#include "model/measurement.h"

/* The readings of one stroke and how far a played stroke is from them, in standard deviations. */

#define READINGS_MAX QUANTITY_COUNT
#define RESIDUALS_MAX (QUANTITY_COUNT + BALL_ROLES * RAIL_READINGS)

struct stroke_reading {
	int number;     /* quantity */
	double value;   /* diamonds or seconds */
	double error;   /* 1 sd, same unit */
	enum rail rail; /* of a rail contact */
	double line;    /* of a rail contact: frozen line of that rail [diamonds across it] */
	size_t column;  /* cell in the row */
};

struct stroke_readings {
	size_t count;
	struct stroke_reading items[READINGS_MAX];
	size_t residual_count;     /* a rail contact gives two: along the rail and across it */
	double watch_covariance;   /* of the two watch intervals [s^2]; 0 where there is none */
	int watch_first, watch_second; /* their places among items; -1 where missing */
};

/* Takes the readings of a row that tell something (a pocketed rest tells no place), with their
 * errors and covariance (formats.md 3).
 *   rails  of the shot as designed, for contacts whose cell names no rail
 * Returns 0, or the quantity number + 1 of the first rail contact that has no rail: the design
 * does not make it, so its cell must name the rail. */
int stroke_readings_take(const struct stroke_row *row, const struct shot_design *design,
                         const struct session *session, const struct shot_setup *setup,
                         enum rail rails[BALL_ROLES][RAIL_READINGS],
                         struct stroke_readings *readings);

/* Frozen line of a rail [diamonds across it] for a ball of that radius [m]. */
double stroke_reading_line(const struct table *table, enum rail rail, double radius);

/* Whether any is a sound. */
bool stroke_readings_hear(const struct stroke_readings *readings);

/* Mask of the quantities read. */
uint32_t stroke_readings_mask(const struct stroke_readings *readings);

/* Standardised differences observed - read, uncorrelated, into residuals (residual_count). */
void stroke_readings_compare(const struct stroke_readings *readings,
                             const struct observed observed[QUANTITY_COUNT], double *residuals);

/* Their derivatives by each of `count` directions of a play. */
void stroke_readings_slopes(const struct stroke_readings *readings,
                            const struct observed_gradient gradient[QUANTITY_COUNT], int count,
                            double slopes[RESIDUALS_MAX][GRADIENT_DIRECTIONS]);

/* Their derivatives by a delay of all sounds [per s]; all other residuals have none. */
void stroke_readings_by_delay(const struct stroke_readings *readings, double slopes[RESIDUALS_MAX]);

/* Which reading a residual belongs to. */
size_t stroke_readings_of_residual(const struct stroke_readings *readings, size_t residual);

/* Whether two moments are the same press of the watch. */
bool moments_equal(struct moment a, struct moment b);

/* 1 sd of one press at a moment [s]. */
double press_error(const struct reading_errors *errors, struct moment moment);

#endif
