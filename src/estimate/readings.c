/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/readings.h"

#include <math.h>

double press_error(const struct reading_errors *errors, struct moment moment)
{
	return moment.kind == MOMENT_REST || moment.kind == MOMENT_STILL ? errors->rest_watch
	                                                                 : errors->watch;
}

static double square(double x)
{
	return x * x;
}

static double watch_error(const struct reading_errors *errors, const struct watch_interval *interval)
{
	if (errors->frames_per_second > 0.0)
		return FRAME_ERROR / errors->frames_per_second;
	return hypot(press_error(errors, interval->from), press_error(errors, interval->to));
}

bool moments_equal(struct moment a, struct moment b)
{
	return a.kind == b.kind && a.number == b.number &&
	       (a.kind == MOMENT_STRIKE || a.kind == MOMENT_CONTACT || a.ball == b.ball);
}

/* Two intervals that share a press: it counts with the same sign in both where both begin or both
 * end there, else with opposite signs. */
static double watch_covariance(const struct reading_errors *errors,
                               const struct shot_design *design)
{
	const struct watch_interval *a = &design->watch[0], *b = &design->watch[1];
	double covariance = 0.0;

	if (errors->frames_per_second > 0.0)
		return 0.0;
	if (moments_equal(a->from, b->from))
		covariance += square(press_error(errors, a->from));
	if (moments_equal(a->to, b->to))
		covariance += square(press_error(errors, a->to));
	if (moments_equal(a->from, b->to))
		covariance -= square(press_error(errors, a->from));
	if (moments_equal(a->to, b->from))
		covariance -= square(press_error(errors, a->to));
	return covariance;
}

static double reading_error(const struct reading_errors *errors, const struct shot_design *design,
                            struct quantity quantity)
{
	switch (quantity.kind) {
	case QUANTITY_RAIL:
		return errors->rail;
	case QUANTITY_WATCH:
		return watch_error(errors, &design->watch[quantity.number - 1]);
	case QUANTITY_SOUND:
		return errors->frames_per_second > 0.0 ? FRAME_ERROR / errors->frames_per_second
		                                       : errors->sound;
	default:
		return errors->position;
	}
}

double stroke_reading_line(const struct table *table, enum rail rail, double radius)
{
	double metres = table_frozen_line(table, rail, radius);

	return rail_is_long(rail) ? table_short_to_diamonds(table, metres)
	                          : table_long_to_diamonds(table, metres);
}

int stroke_readings_take(const struct stroke_row *row, const struct shot_design *design,
                         const struct session *session, const struct shot_setup *setup,
                         enum rail rails[BALL_ROLES][RAIL_READINGS],
                         struct stroke_readings *readings)
{
	*readings = (struct stroke_readings){.watch_first = -1, .watch_second = -1};
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		const struct reading *cell = &row->readings[number];
		struct quantity quantity = quantity_at(number);
		struct stroke_reading *item = &readings->items[readings->count];

		if (cell->kind != READING_VALUE ||
		    (quantity.kind == QUANTITY_WATCH && quantity.number > design->watch_count))
			continue;
		*item = (struct stroke_reading){.number = number,
		                                .value = cell->value,
		                                .error = reading_error(&session->errors, design, quantity),
		                                .rail = RAIL_COUNT,
		                                .column = row->columns[number]};
		readings->residual_count++;
		if (quantity.kind == QUANTITY_RAIL) {
			item->rail = cell->rail_named ? cell->rail
			                              : rails[quantity.ball][quantity.number - 1];
			if (item->rail == RAIL_COUNT)
				return number + 1;
			item->line = stroke_reading_line(&session->table, item->rail,
			                                 setup->bodies[quantity.ball].radius);
			readings->residual_count++;
		}
		if (quantity.kind == QUANTITY_WATCH)
			*(quantity.number == 1 ? &readings->watch_first : &readings->watch_second) =
			    (int)readings->count;
		readings->count++;
	}
	if (readings->watch_first >= 0 && readings->watch_second >= 0)
		readings->watch_covariance = watch_covariance(&session->errors, design);
	return 0;
}

bool stroke_readings_hear(const struct stroke_readings *readings)
{
	for (size_t i = 0; i < readings->count; i++)
		if (quantity_at(readings->items[i].number).kind == QUANTITY_SOUND)
			return true;
	return false;
}

uint32_t stroke_readings_mask(const struct stroke_readings *readings)
{
	uint32_t mask = 0;

	for (size_t i = 0; i < readings->count; i++)
		mask |= UINT32_C(1) << readings->items[i].number;
	return mask;
}

/* The second of two correlated intervals, given the first: what the first does not tell. */
static double second_interval(const struct stroke_readings *readings, double first, double second)
{
	double first_variance = square(readings->items[readings->watch_first].error);
	double second_variance = square(readings->items[readings->watch_second].error);
	double slope = readings->watch_covariance / first_variance;

	return (second - slope * first) /
	       sqrt(fmax(second_variance - slope * readings->watch_covariance,
	                 1e-6 * second_variance));
}

void stroke_readings_compare(const struct stroke_readings *readings,
                             const struct observed observed[QUANTITY_COUNT], double *residuals)
{
	double first_interval = 0.0;
	size_t k = 0;

	for (size_t i = 0; i < readings->count; i++) {
		const struct stroke_reading *item = &readings->items[i];
		const struct observed *seen = &observed[item->number];
		double difference = seen->value - item->value;

		if (item->rail != RAIL_COUNT) {
			bool long_rail = rail_is_long(item->rail);

			residuals[k++] =
			    ((long_rail ? seen->along : seen->across) - item->value) / item->error;
			residuals[k++] =
			    ((long_rail ? seen->across : seen->along) - item->line) / item->error;
			continue;
		}
		if ((int)i == readings->watch_first)
			first_interval = difference;
		residuals[k++] = (int)i == readings->watch_second && readings->watch_first >= 0
		                     ? second_interval(readings, first_interval, difference)
		                     : difference / item->error;
	}
}

void stroke_readings_slopes(const struct stroke_readings *readings,
                            const struct observed_gradient gradient[QUANTITY_COUNT], int count,
                            double slopes[RESIDUALS_MAX][GRADIENT_DIRECTIONS])
{
	for (int j = 0; j < count; j++) {
		double first_interval = 0.0;
		size_t k = 0;

		for (size_t i = 0; i < readings->count; i++) {
			const struct stroke_reading *item = &readings->items[i];
			const struct observed_gradient *seen = &gradient[item->number];
			double value = gradient_at(&seen->value, j);

			if (item->rail != RAIL_COUNT) {
				bool long_rail = rail_is_long(item->rail);

				slopes[k++][j] =
				    gradient_at(long_rail ? &seen->along : &seen->across, j) / item->error;
				slopes[k++][j] =
				    gradient_at(long_rail ? &seen->across : &seen->along, j) / item->error;
				continue;
			}
			if ((int)i == readings->watch_first)
				first_interval = value;
			slopes[k++][j] = (int)i == readings->watch_second && readings->watch_first >= 0
			                     ? second_interval(readings, first_interval, value)
			                     : value / item->error;
		}
	}
}

void stroke_readings_by_delay(const struct stroke_readings *readings, double slopes[RESIDUALS_MAX])
{
	size_t k = 0;

	for (size_t i = 0; i < readings->count; i++) {
		const struct stroke_reading *item = &readings->items[i];

		slopes[k++] =
		    quantity_at(item->number).kind == QUANTITY_SOUND ? 1.0 / item->error : 0.0;
		if (item->rail != RAIL_COUNT)
			slopes[k++] = 0.0;
	}
}

size_t stroke_readings_of_residual(const struct stroke_readings *readings, size_t residual)
{
	size_t k = 0;

	for (size_t i = 0; i < readings->count; i++) {
		k += readings->items[i].rail != RAIL_COUNT ? 2 : 1;
		if (residual < k)
			return i;
	}
	return readings->count;
}
