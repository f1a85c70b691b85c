/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_MISFIT_KEEP_H
#define RESTPOINT_TESTS_MISFIT_KEEP_H

#include <stddef.h>

#include "misfit_study.h"

/* Outcomes in a file of text, a line each, so that a study that is cut short goes on where it was:
 * protocol, case, seed and session, then the numbers of struct misfit_outcome, by tabs. */

/* Appends one outcome at once. False when the file cannot be written. */
bool misfit_keep_append(const char *file, const struct misfit_wish *wish,
                        const struct misfit_outcome *outcome);

/* True and *outcome when the file holds that session; a line that was cut short is none. */
bool misfit_keep_find(const char *file, const struct misfit_wish *wish,
                      struct misfit_outcome *outcome);

#endif
