/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/observe_gradient.h"

#include <math.h>

#include "shot/gradient_rows.h"
#include "shot/observe_find.h"

/* The play whose quantities are asked for. */
struct reading_of {
	const struct shot_record *record;
	const struct shot_gradient *gradient;
	const struct shot_design *design;
	const struct table *table;
	const struct microphone *microphone;
	int n; /* pairs of directions */
};

static void set_place(const struct reading_of *of, const struct gradient_row *x,
                      const struct gradient_row *y, struct observed_gradient *out)
{
	row_zero(&out->along, of->n);
	row_zero(&out->across, of->n);
	row_add(&out->along, TABLE_DIAMONDS_LONG / of->table->length, y, of->n);
	row_add(&out->across, TABLE_DIAMONDS_SHORT / of->table->width, x, of->n);
}

/* An event beyond those with derivatives counts as one that does not move. */
static const struct gradient_event *event_at(const struct reading_of *of, int event)
{
	return event >= 0 && event < GRADIENT_EVENTS ? &of->gradient->events[event] : NULL;
}

static void set_rail(const struct reading_of *of, struct quantity quantity,
                     struct observed_gradient *out)
{
	int found = observe_find_rail(of->record, quantity.ball, quantity.number);
	const struct gradient_event *event = event_at(of, found);
	const struct gradient_end *end = &of->gradient->ends[quantity.ball];

	set_place(of, event != NULL ? &event->x : &end->x, event != NULL ? &event->y : &end->y, out);
	row_zero(&out->value, of->n);
	if (found >= 0)
		row_copy(&out->value,
		         rail_is_long(of->record->events[found].rail) ? &out->along : &out->across,
		         of->n);
}

static void set_rest(const struct reading_of *of, struct quantity quantity,
                     struct observed_gradient *out)
{
	const struct gradient_end *end = &of->gradient->ends[quantity.ball];

	set_place(of, &end->x, &end->y, out);
	row_copy(&out->value,
	         quantity.kind == QUANTITY_REST_LONG ? &out->along : &out->across, of->n);
}

static const struct gradient_row *last_rest(const struct reading_of *of)
{
	return &of->gradient->ends[observe_find_last_rest(of->record)].rest_time;
}

/* Adds the derivatives of a moment's time. */
static void add_moment(const struct reading_of *of, struct moment moment, double factor,
                       struct gradient_row *row)
{
	const struct gradient_end *end = &of->gradient->ends[moment.ball];
	const struct gradient_row *time = &end->rest_time;
	const struct gradient_event *event;

	if (moment.kind == MOMENT_STRIKE)
		return;
	if (moment.kind == MOMENT_STILL) {
		time = &end->still_time;
	} else if (moment.kind == MOMENT_RAIL) {
		event = event_at(of, observe_find_rail(of->record, moment.ball, moment.number));
		time = event != NULL ? &event->time : &end->rest_time;
	} else if (moment.kind == MOMENT_CONTACT) {
		event = event_at(of, observe_find_contact(of->record, moment.number));
		time = event != NULL ? &event->time : last_rest(of);
	}
	row_add(row, factor, time, of->n);
}

static void set_watch(const struct reading_of *of, int number, struct gradient_row *row)
{
	row_zero(row, of->n);
	if (number > of->design->watch_count)
		return;
	add_moment(of, of->design->watch[number - 1].to, 1.0, row);
	add_moment(of, of->design->watch[number - 1].from, -1.0, row);
}

/* Adds the derivatives of when a contact is heard: its time, and the sound's way to the phone. */
static void add_heard(const struct reading_of *of, int event, double factor,
                      struct gradient_row *row)
{
	const struct gradient_event *gradient = event_at(of, event);
	const struct microphone *microphone = of->microphone;
	struct vector3 place = of->record->events[event].position;
	double x, y, distance;

	if (gradient == NULL)
		return;
	row_add(row, factor, &gradient->time, of->n);
	if (microphone == NULL || !microphone->known)
		return;
	x = place.x - table_short_to_metres(of->table, microphone->across);
	y = place.y - table_long_to_metres(of->table, microphone->along);
	distance = hypot(x, y);
	if (!(distance > 0.0))
		return;
	row_add(row, factor * x / (distance * SOUND_SPEED), &gradient->x, of->n);
	row_add(row, factor * y / (distance * SOUND_SPEED), &gradient->y, of->n);
}

static void set_sound(const struct reading_of *of, int number, struct gradient_row *row)
{
	bool by_ramp = of->design->launch.by_ramp;
	int events[SOUND_READINGS];
	int count = observe_find_sounds(of->record, by_ramp, events);

	row_zero(row, of->n);
	if (number > count) {
		row_add(row, 1.0, last_rest(of), of->n);
		return;
	}
	add_heard(of, events[number - 1], 1.0, row);
	if (by_ramp)
		add_heard(of, events[0], -1.0, row);
}

void observe_gradient(const struct shot_record *record, const struct shot_gradient *gradient,
                      const struct shot_design *design, const struct table *table,
                      const struct microphone *microphone, uint32_t mask,
                      struct observed_gradient out[QUANTITY_COUNT])
{
	struct reading_of of = {record, gradient, design, table, microphone,
	                        gradient_pairs(gradient)};

	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);

		if (!(mask & (UINT32_C(1) << number)))
			continue;
		if (quantity.kind == QUANTITY_RAIL)
			set_rail(&of, quantity, &out[number]);
		else if (quantity.kind == QUANTITY_WATCH)
			set_watch(&of, quantity.number, &out[number].value);
		else if (quantity.kind == QUANTITY_SOUND)
			set_sound(&of, quantity.number, &out[number].value);
		else
			set_rest(&of, quantity, &out[number]);
	}
}
