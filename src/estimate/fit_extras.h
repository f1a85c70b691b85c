/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_EXTRAS_H
#define RESTPOINT_ESTIMATE_FIT_EXTRAS_H

#include "base/random.h"
#include "estimate/fit_problem.h"
#include "estimate/posterior.h"

/* What can be fitted besides the constants (struct fit_wants): the slope of the bed, the fall of the
 * cushions' liveliness with speed, the grip of each ball label, each rail's liveliness and grip.
 * Their unknowns are outer ones of the problem, from SHARED_HABITS on, standard normal but for what
 * stands here. Internal to src/estimate. */

/* How far the rails of a table differ is not known: its prior is log-normal, in units of
 * RAIL_LIVELINESS_SPREAD and RAIL_GRIP_SPREAD, so 1 % of liveliness and 7.5 % of grip, times or by
 * 2.2, and none below a seventh or above seven times that. Assumed: the irregularity from contact to contact is 1 % (physics.md 6), and rails of one
 * make and age should not differ by much more. The spread is integrated out: four rails that agree
 * draw one another together, one that does not is left where its contacts put it. */
#define RAILS_SPREAD_CENTRE 0.5
#define RAILS_SPREAD_LOG_DEVIATION 0.8
#define RAILS_SPREAD_REACH 2.5 /* standard deviations */

/* Limit of the fall of liveliness, as in model/constant_terms.h [s/m]. */
#define FALL_MOST 0.2

/* Logarithm, up to a constant, of the prior density of the extra unknowns relative to the standard
 * normal one; adds its derivatives to gradient. -HUGE_VAL where they cannot stand: liveliness that
 * rises with speed, a bed on which balls roll for ever. */
double fit_extras_log_prior(const struct fit_problem *problem, const double *x, double *gradient);

/* Brings x where its density is not zero. */
void fit_extras_step_inside(const struct fit_problem *problem, double *x);

/* Readings that the extra unknowns took: the sum of 1 - posterior variance (standardised). */
double fit_extras_taken(const struct fit_problem *problem, const double *covariance);

/* Squares of the extra unknowns at x: like the constants they are no part of the chi-square. */
double fit_extras_squares(const struct fit_problem *problem, const double *x);

/* Takes the extra columns of the draws into result->extra_draws; where rails were fitted, the
 * cushion constants of result->draws become the means of the rails. False when memory is out. */
bool fit_extras_take(const struct fit_problem *problem, const struct posterior *posterior,
                     struct fit_result *result);

/* Fills what is known of the extra unknowns from those draws, enlarged where result->scaled is set;
 * from x and its covariance where there are none. False when memory is out. */
bool fit_extras_fill(const struct fit_problem *problem, const double *x, const double *covariance,
                     struct fit_result *result);

#endif
