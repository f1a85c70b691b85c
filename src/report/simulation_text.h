/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_SIMULATION_TEXT_H
#define RESTPOINT_REPORT_SIMULATION_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/text.h"
#include "model/constants.h"
#include "model/protocol.h"

/* What a simulated measurement file says of itself in #note: that it is simulated, the seed where
 * one was used, and the constants in full. */
void simulation_note(const struct constants *constants, uint64_t seed, bool noise,
                     struct text *out);

/* A simulation as one JSON object of format "restpoint-simulation".
 *   strokes  rows of the measurement
 *   file     where the measurement was written; NULL: it is put in as the string "measurement"
 *   trace    where the paths were written, and NULL where they were not
 *   csv      the measurement file */
void simulation_json_print(const struct protocol *protocol, const struct constants *constants,
                           uint64_t seed, bool noise, size_t strokes, const char *file,
                           const char *trace, const char *csv, struct text *out);

#endif
