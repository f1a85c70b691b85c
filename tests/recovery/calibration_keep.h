/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CALIBRATION_KEEP_H
#define RESTPOINT_TESTS_RECOVERY_CALIBRATION_KEEP_H

#include <stdbool.h>
#include <stddef.h>

#include "calibration_study.h"

/* Outcomes kept in a file, so that a study of hours may be stopped and gone on with. Records of
 * equal size in the form of this machine, each with its protocol, seed and session number; what is
 * left of one that was cut short is ignored and written over. A file knows nothing of the
 * program that made it: begin a new one after any change of the program. */

/* Fills outcomes[i] and sets known[i] for each session wish->first + i that the file of
 * wish->keep holds. A file that is not there holds none. False when it cannot be read. */
bool calibration_keep_read(const struct calibration_wish *wish,
                           struct calibration_outcome *outcomes, bool *known);

/* Appends one outcome. False when it cannot be written. */
bool calibration_keep_append(const struct calibration_wish *wish, size_t number,
                             const struct calibration_outcome *outcome);

#endif
