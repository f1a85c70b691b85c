/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_OMISSIONS_H
#define RESTPOINT_ESTIMATE_FIT_OMISSIONS_H

#include "base/status.h"
#include "estimate/fit_tries.h"

/* Plays every stroke at an end of the fit once more on tables that do what the model leaves out, and
 * takes the change of its readings through the weighted least squares of all outer unknowns. Of the
 * result's omissions shift, noncentrality and power are filled. An omission that is fitted
 * (wants) is left out. Internal to src/estimate.
 *   covariance  of the outer unknowns at that end, size * size by rows
 * STATUS_OK or STATUS_SYSTEM. */
enum status fit_omissions_find(const struct fit_problem *problem, const struct fit_tries *tries,
                               const double *covariance, struct fit_result *result);

/* Marks those that are large and unseen, from the standard errors of the result. */
void fit_omissions_mark(struct fit_result *result);

#endif
