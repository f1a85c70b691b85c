/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_ASSESS_CORRELATION_H
#define RESTPOINT_ADVISE_ASSESS_CORRELATION_H

#include <stdbool.h>

#include "estimate/fit.h"
#include "model/profile.h"

/* Fills in the correlation of a profile: of the constants and grips that are determined, weak or at a
 * limit, on their fitted scales (formats.md 5). Its arena must be there. False when memory is out. */
bool assess_correlation(const struct fit_result *fit, struct profile *profile);

#endif
