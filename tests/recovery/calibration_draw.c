/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calibration_draw.h"

static double draw_within_limits(struct random_stream *stream, enum constant_id id)
{
	const struct constant_prior *prior = constant_prior(id);
	double middle = constant_to_scale(id, prior->centre);
	double value;

	do
		value = constant_from_scale(id, middle + prior->spread * random_normal(stream));
	while (value < prior->lowest || value > prior->highest);
	return value;
}

void calibration_draw_constants(struct random_stream *stream, struct constants *constants)
{
	*constants = (struct constants){.terms = {0.0}};
	for (int id = 0; id < CONSTANT_COUNT; id++)
		constants->value[id] = draw_within_limits(stream, (enum constant_id)id);
}
