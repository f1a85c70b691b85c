/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/observe.h"

#include <math.h>

#include "shot/observe_find.h"

static void need_moment(struct moment moment, struct shot_need *need)
{
	switch (moment.kind) {
	case MOMENT_STRIKE:
		break;
	case MOMENT_RAIL:
		if (need->rails[moment.ball] < moment.number)
			need->rails[moment.ball] = moment.number;
		break;
	case MOMENT_CONTACT:
		if (need->ball_contacts < moment.number)
			need->ball_contacts = moment.number;
		break;
	case MOMENT_REST:
	case MOMENT_STILL:
		need->everything = true;
		break;
	}
}

void observe_need(const struct shot_design *design, uint32_t mask, struct shot_need *need)
{
	*need = (struct shot_need){.struck = !design->launch.by_ramp};
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);
		struct moment rail = {MOMENT_RAIL, quantity.ball, quantity.number};

		if (!(mask & (UINT32_C(1) << number)))
			continue;
		if (quantity.kind == QUANTITY_RAIL) {
			need_moment(rail, need);
		} else if (quantity.kind == QUANTITY_SOUND) {
			if (need->sounds < quantity.number)
				need->sounds = quantity.number;
		} else if (quantity.kind == QUANTITY_WATCH) {
			if (quantity.number > design->watch_count)
				continue;
			need_moment(design->watch[quantity.number - 1].from, need);
			need_moment(design->watch[quantity.number - 1].to, need);
		} else {
			need->everything = true;
		}
	}
}

static double moment_time(const struct shot_record *record, struct moment moment, bool *happened)
{
	double instead = record->ends[moment.ball].rest_time;
	int event;

	*happened = true;
	if (moment.kind == MOMENT_STRIKE)
		return 0.0;
	if (moment.kind == MOMENT_REST)
		return record->ends[moment.ball].rest_time;
	if (moment.kind == MOMENT_STILL)
		return record->ends[moment.ball].still_time;
	if (moment.kind == MOMENT_RAIL) {
		event = observe_find_rail(record, moment.ball, moment.number);
	} else {
		event = observe_find_contact(record, moment.number);
		instead = record->ends[observe_find_last_rest(record)].rest_time;
	}
	*happened = event >= 0;
	return *happened ? record->events[event].time : instead;
}

static void observe_watch(const struct shot_record *record, const struct shot_design *design,
                          int number, struct observed *out)
{
	bool from_happened, to_happened;
	double from, to;

	*out = (struct observed){.happened = false};
	if (number > design->watch_count)
		return;
	from = moment_time(record, design->watch[number - 1].from, &from_happened);
	to = moment_time(record, design->watch[number - 1].to, &to_happened);
	out->happened = from_happened && to_happened;
	out->value = to - from;
}

static void observe_place(const struct table *table, struct vector3 position, struct observed *out)
{
	out->along = table_long_to_diamonds(table, position.y);
	out->across = table_short_to_diamonds(table, position.x);
}

static void observe_rail(const struct shot_record *record, const struct table *table,
                         struct quantity quantity, struct observed *out)
{
	int found = observe_find_rail(record, quantity.ball, quantity.number);
	const struct shot_event *event = found >= 0 ? &record->events[found] : NULL;

	*out = (struct observed){.happened = found >= 0, .rail = RAIL_COUNT};
	observe_place(table, event != NULL ? event->position : record->ends[quantity.ball].position,
	              out);
	if (event == NULL)
		return;
	out->rail = event->rail;
	out->value = rail_is_long(event->rail) ? out->along : out->across;
}

static void observe_rest(const struct shot_record *record, const struct table *table,
                         struct quantity quantity, struct observed *out)
{
	const struct ball_end *end = &record->ends[quantity.ball];

	*out = (struct observed){.happened = true, .pocketed = end->pocketed, .rail = RAIL_COUNT};
	observe_place(table, end->position, out);
	out->value = quantity.kind == QUANTITY_REST_LONG ? out->along : out->across;
}

/* Seconds that the sound of something at a place takes to the phone. */
static double sound_delay(const struct microphone *microphone, const struct table *table,
                          struct vector3 place)
{
	if (microphone == NULL || !microphone->known)
		return 0.0;
	return hypot(place.x - table_short_to_metres(table, microphone->across),
	             place.y - table_long_to_metres(table, microphone->along)) /
	       SOUND_SPEED;
}

/* Times of the audible contacts since the sound of the strike, or, from a ramp, which is silent,
 * since the first of them. Returns how many there were. */
static int sound_times(const struct shot_record *record, const struct shot_design *design,
                       const struct table *table, const struct microphone *microphone,
                       struct vector3 start, double times[SOUND_READINGS])
{
	double zero = sound_delay(microphone, table, start);
	int events[SOUND_READINGS];
	int count = observe_find_sounds(record, design->launch.by_ramp, events);

	for (int k = 0; k < count; k++) {
		const struct shot_event *event = &record->events[events[k]];
		double heard = event->time + sound_delay(microphone, table, event->position);

		if (design->launch.by_ramp && k == 0)
			zero = heard;
		times[k] = heard - zero;
	}
	return count;
}

void observe(const struct shot_record *record, const struct shot_design *design,
             const struct table *table, const struct microphone *microphone, struct vector3 start,
             uint32_t mask, struct observed out[QUANTITY_COUNT])
{
	double times[SOUND_READINGS];
	int heard = sound_times(record, design, table, microphone, start, times);
	double last_rest = record->ends[observe_find_last_rest(record)].rest_time;

	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);

		if (!(mask & (UINT32_C(1) << number)))
			continue;
		if (quantity.kind == QUANTITY_RAIL) {
			observe_rail(record, table, quantity, &out[number]);
		} else if (quantity.kind == QUANTITY_WATCH) {
			observe_watch(record, design, quantity.number, &out[number]);
		} else if (quantity.kind == QUANTITY_SOUND) {
			bool happened = quantity.number <= heard;

			out[number] = (struct observed){
			    .happened = happened,
			    .rail = RAIL_COUNT,
			    .value = happened ? times[quantity.number - 1]
			                     : last_rest};
		} else {
			observe_rest(record, table, quantity, &out[number]);
		}
	}
}

/* Folds one small number into a hash (FNV-1a, 64 bits). */
static uint64_t fold(uint64_t hash, unsigned value)
{
	return (hash ^ value) * UINT64_C(1099511628211);
}

uint64_t observe_order(const struct shot_record *record, const struct shot_need *need)
{
	uint64_t hash = UINT64_C(14695981039346656037);
	int balls = 0, sounds = 0;
	double last = need->struck ? 0.0 : -HUGE_VAL;

	for (size_t k = 0; k < record->event_count; k++) {
		const struct shot_event *event = &record->events[k];
		bool sound = observe_sounds(event, &last);

		sounds += sound;
		if (sound && sounds <= need->sounds)
			hash = fold(fold(hash, 3u + (unsigned)event->kind), (unsigned)event->ball);
		if (event->kind == EVENT_RAIL && event->number > 0 &&
		    event->number <= need->rails[event->ball])
			hash = fold(fold(hash, 16u + (unsigned)event->rail), (unsigned)event->ball);
		if (event->kind == EVENT_BALLS && ++balls <= need->ball_contacts)
			hash = fold(fold(hash, 64u + (unsigned)event->other), (unsigned)event->ball);
	}
	return hash;
}
