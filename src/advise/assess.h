/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_ASSESS_H
#define RESTPOINT_ADVISE_ASSESS_H

#include "base/status.h"
#include "estimate/fit.h"
#include "model/profile.h"

/* Turns a fit into a profile: the constants with their states, the conditions in players' terms
 * with intervals that carry the constants' correlation, the balls, the sources.
 *   made     RFC 3339 time, tool_version the program's version; both are copied
 * STATUS_OK or STATUS_SYSTEM. Release with profile_free. */
enum status assess_fit(const struct fit_input *inputs, size_t input_count,
                       const struct fit_result *fit, uint64_t seed, const char *made,
                       const char *tool_version, struct profile *profile);

#endif
