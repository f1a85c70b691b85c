/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_MEASUREMENT_SUMMARY_H
#define RESTPOINT_REPORT_MEASUREMENT_SUMMARY_H

#include <stddef.h>

#include "model/measurement.h"
#include "model/protocol.h"

/* What a measurement file holds of one quantity of one shot. */
struct quantity_summary {
	size_t count;           /* readings, pockets included */
	size_t pockets;         /* of them `pocket` */
	double lowest, highest; /* of the others, in the reading's unit */
};

/* What it holds of one shot. Strokes set aside by the person count in `set_aside` only. */
struct shot_summary {
	size_t strokes;
	size_t set_aside;
	size_t readings;
	struct quantity_summary quantities[QUANTITY_COUNT];
};

/* Sums up the strokes of the shot of that key. */
struct shot_summary measurement_summary_shot(const struct measurement *measurement,
                                             const char *key);

/* Sums up all strokes. */
struct shot_summary measurement_summary_all(const struct measurement *measurement);

#endif
