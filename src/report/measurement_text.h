/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_MEASUREMENT_TEXT_H
#define RESTPOINT_REPORT_MEASUREMENT_TEXT_H

#include "base/text.h"
#include "model/measurement.h"
#include "model/protocol.h"
#include "report/remarks.h"

/* What was understood of a measurement file: separator, notes, table, balls, reading errors,
 * protocol; per shot the strokes and the range of each reading; the rows set aside; the remarks. */
void measurement_text_print(const struct measurement *measurement, const struct protocol *protocol,
                            const struct remarks *remarks, struct text *out);

/* The same as one JSON object of format "restpoint-check". */
void measurement_json_print(const struct measurement *measurement, const struct protocol *protocol,
                            const struct remarks *remarks, struct text *out);

#endif
