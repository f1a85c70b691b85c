/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/measurement_summary.h"

#include <string.h>

static void add_reading(struct quantity_summary *summary, const struct reading *reading)
{
	size_t values = summary->count - summary->pockets;

	if (reading->kind == READING_MISSING)
		return;
	summary->count++;
	if (reading->kind == READING_POCKET) {
		summary->pockets++;
		return;
	}
	if (values == 0 || reading->value < summary->lowest)
		summary->lowest = reading->value;
	if (values == 0 || reading->value > summary->highest)
		summary->highest = reading->value;
}

static void add_row(struct shot_summary *summary, const struct stroke_row *row)
{
	if (!row->valid) {
		summary->set_aside++;
		return;
	}
	summary->strokes++;
	for (int q = 0; q < QUANTITY_COUNT; q++) {
		add_reading(&summary->quantities[q], &row->readings[q]);
		summary->readings += row->readings[q].kind != READING_MISSING;
	}
}

struct shot_summary measurement_summary_shot(const struct measurement *measurement,
                                             const char *key)
{
	struct shot_summary summary = {0};

	for (size_t i = 0; i < measurement->row_count; i++) {
		if (strcmp(measurement->rows[i].shot, key) == 0)
			add_row(&summary, &measurement->rows[i]);
	}
	return summary;
}

struct shot_summary measurement_summary_all(const struct measurement *measurement)
{
	struct shot_summary summary = {0};

	for (size_t i = 0; i < measurement->row_count; i++)
		add_row(&summary, &measurement->rows[i]);
	return summary;
}
