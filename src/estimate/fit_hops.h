/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_HOPS_H
#define RESTPOINT_ESTIMATE_FIT_HOPS_H

#include "estimate/fit_candidates.h"

/* The ends about one: hops some standard errors away, and falls again from there. Internal to
 * src/estimate. */

#define FIT_WORTH_A_ROUND 0.3 /* fall of the marginal that is worth going on for */
#define FIT_HOPS 2            /* at once, from the same state */
#define FIT_HOPS_ROOM (1 + FIT_HOPS)

/* From candidate 0 of the search, which has room for FIT_HOPS_ROOM, until hops have not helped for a
 * while; candidate 0 and the state at hand are then the best end. STATUS_OK (also when stopped) or
 * STATUS_SYSTEM. */
enum status fit_hops(struct search *search);

#endif
