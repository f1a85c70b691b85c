/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/observe_find.h"

#include <math.h>

int observe_find_rail(const struct shot_record *record, enum ball_role ball, int number)
{
	for (size_t k = 0; k < record->event_count; k++) {
		const struct shot_event *event = &record->events[k];

		if (event->kind == EVENT_RAIL && event->ball == (size_t)ball &&
		    event->number == number)
			return (int)k;
	}
	return -1;
}

int observe_find_contact(const struct shot_record *record, int number)
{
	for (size_t k = 0; k < record->event_count; k++)
		if (record->events[k].kind == EVENT_BALLS && record->events[k].number == number)
			return (int)k;
	return -1;
}

size_t observe_find_last_rest(const struct shot_record *record)
{
	size_t last = 0;

	for (size_t i = 1; i < record->ball_count; i++)
		if (record->ends[i].rest_time > record->ends[last].rest_time)
			last = i;
	return last;
}

bool observe_sounds(const struct shot_event *event, double *last)
{
	if ((event->kind != EVENT_RAIL && event->kind != EVENT_BALLS) ||
	    event->approach < SHOT_AUDIBLE ||
	    event->time - *last < SHOT_SOUND_GAP)
		return false;
	*last = event->time;
	return true;
}

int observe_find_sounds(const struct shot_record *record, bool by_ramp,
                        int events[SOUND_READINGS])
{
	double last = by_ramp ? -HUGE_VAL : 0.0;
	int count = 0;

	for (size_t k = 0; k < record->event_count && count < SOUND_READINGS; k++)
		if (observe_sounds(&record->events[k], &last))
			events[count++] = (int)k;
	return count;
}
