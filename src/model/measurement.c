/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/measurement.h"

#include <string.h>

const char *session_note_name(enum session_note note)
{
	static const char *const names[SESSION_NOTES] = {
		[NOTE_SESSION] = "session",
		[NOTE_DATE] = "date",
		[NOTE_PLACE] = "place",
		[NOTE_TABLE_NAME] = "table_name",
		[NOTE_BALL_SET] = "ball_set",
		[NOTE_CLOTH] = "cloth",
		[NOTE_CLOTH_DAYS] = "cloth_days",
		[NOTE_TEMPERATURE_C] = "temperature_c",
		[NOTE_HUMIDITY_PERCENT] = "humidity_percent",
		[NOTE_PLAYER] = "player",
		[NOTE_NOTE] = "note",
	};

	return names[note];
}

struct session session_default(void)
{
	struct session session = {
		.table = *table_find_preset("pool-9ft", strlen("pool-9ft")),
		.reference_ball = "A",
		.errors = {
			.position = ERROR_DEFAULT_POSITION,
			.rail = ERROR_DEFAULT_RAIL,
			.watch = ERROR_DEFAULT_WATCH,
			.rest_watch = ERROR_DEFAULT_REST_WATCH,
			.sound = ERROR_DEFAULT_SOUND,
		},
		.diamond_value = 1.0,
	};

	return session;
}

void session_ball(const struct session *session, enum ball_role role, const char *label,
                  double *diameter, double *mass)
{
	session_placed_ball(session, NULL, role, label, diameter, mass);
}

void session_placed_ball(const struct session *session, const struct placement *place,
                         enum ball_role role, const char *label, double *diameter, double *mass)
{
	const struct table *table = &session->table;

	*diameter = role == BALL_CUE ? table->cue_ball_diameter : table->ball_diameter;
	*mass = role == BALL_CUE ? table->cue_ball_mass : table->ball_mass;
	if (place != NULL && place->diameter > 0.0)
		*diameter = place->diameter;
	if (place != NULL && place->mass > 0.0)
		*mass = place->mass;
	for (size_t i = 0; i < session->ball_count; i++) {
		const struct labelled_ball *ball = &session->balls[i];

		if (strcmp(ball->label, label) != 0)
			continue;
		if (ball->diameter > 0.0)
			*diameter = ball->diameter;
		if (ball->mass > 0.0)
			*mass = ball->mass;
	}
}

void measurement_free(struct measurement *measurement)
{
	arena_free(measurement->arena);
	*measurement = (struct measurement){0};
}
