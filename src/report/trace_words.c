/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/trace_words.h"

const char *trace_phase_word(enum trace_phase phase)
{
	static const char *const words[] = {
	    [TRACE_STILL] = "still",     [TRACE_SPINNING] = "spinning", [TRACE_ROLLING] = "rolling",
	    [TRACE_SLIDING] = "sliding", [TRACE_FLYING] = "flying",
	};

	return words[phase];
}

const char *trace_event_word(enum trace_event_kind kind)
{
	static const char *const words[] = {
	    [TRACE_STRIKE] = "strike", [TRACE_RAIL] = "rail",   [TRACE_CONTACT] = "contact",
	    [TRACE_POCKET] = "pocket", [TRACE_LEAVE] = "leave", [TRACE_BOUNCE] = "bounce",
	    [TRACE_REST] = "rest",     [TRACE_STOPPED] = "still",
	};

	return words[kind];
}

struct trace_place trace_place(const struct table *table, struct vector3 position, double radius)
{
	return (struct trace_place){.along = table_long_to_diamonds(table, position.y),
	                            .across = table_short_to_diamonds(table, position.x),
	                            .height = 1000.0 * (position.z - radius)};
}

double trace_speed(const struct trace_point *point)
{
	return vector3_norm(point->state.velocity);
}
