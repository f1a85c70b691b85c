/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stroke_rows.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "physics/cushion.h"

static void stop_program(const char *what)
{
	fprintf(stderr, "%s failed\n", what);
	exit(EXIT_FAILURE);
}

static double error_of(const struct session *session, int number)
{
	switch (quantity_at(number).kind) {
	case QUANTITY_RAIL:
		return session->errors.rail;
	case QUANTITY_WATCH:
		return session->errors.rest_watch;
	case QUANTITY_SOUND:
		return session->errors.sound;
	default:
		return session->errors.position;
	}
}

static void play_row(const struct shot_design *design, const struct session *session,
                     struct random_stream *stream, double noise, struct stroke_row *row)
{
	struct stroke_point middle = {.constants = {0.0}};
	struct constants constants = stroke_point_constants(&middle);
	double own[OWN_UNKNOWNS];
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;
	struct stroke_scene scene;
	const char *why;

	if (!stroke_scene_make(&scene, design, session, row->ball, design->measure, &why))
		stop_program(why);
	for (int j = 0; j < OWN_UNKNOWNS; j++)
		own[j] = noise * random_normal(stream);
	if (!stroke_scene_play(&scene, &constants, middle.shared, own, CUSHION_TOLERANCE, &record,
	                       observed))
		stop_program("a play");
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		double error = noise * error_of(session, number) * random_normal(stream);

		if ((design->measure & (UINT32_C(1) << number)) == 0 ||
		    !observed[number].happened || observed[number].pocketed)
			continue;
		row->readings[number] =
		    (struct reading){.kind = READING_VALUE,
		                     .value = observed[number].value + error,
		                     .rail = observed[number].rail,
		                     .rail_named = quantity_at(number).kind == QUANTITY_RAIL};
	}
}

void stroke_rows_play(struct stroke_rows *rows, const struct protocol *protocol,
                      const struct reading_errors *errors, uint64_t seed, bool noise)
{
	struct measurement *measurement = &rows->measurement;
	size_t count = 0, next = 0;

	memset(rows, 0, sizeof *rows);
	for (size_t i = 0; i < protocol->shot_count; i++)
		count += (size_t)protocol->shots[i].tries;
	*measurement = (struct measurement){.arena = arena_create(),
	                                    .file = "rows.csv",
	                                    .separator = ',',
	                                    .session = session_default(),
	                                    .row_count = count};
	if (errors != NULL)
		measurement->session.errors = *errors;
	if (measurement->arena != NULL)
		measurement->rows =
		    arena_allocate(measurement->arena, count * sizeof *measurement->rows);
	if (measurement->rows == NULL)
		stop_program("memory");
	for (size_t i = 0; i < protocol->shot_count; i++)
		for (int k = 1; k <= protocol->shots[i].tries; k++, next++) {
			struct random_stream stream = random_start(seed, next);
			struct stroke_row *row = &measurement->rows[next];

			*row = (struct stroke_row){.line = next + 2,
			                           .shot = protocol->shots[i].key,
			                           .try_number = k,
			                           .player = "",
			                           .valid = true,
			                           .ball = {"A", "O", "O"}};
			play_row(&protocol->shots[i], &measurement->session, &stream,
			         noise ? 1.0 : 0.0, row);
		}
	rows->input = (struct fit_input){measurement, protocol};
}

void stroke_rows_build(struct stroke_rows *rows)
{
	if (fault_list_create(&rows->faults) != STATUS_OK ||
	    fit_problem_create(&rows->problem, &rows->input, 1, 1, &rows->faults) != STATUS_OK)
		stop_program("the fit problem");
}

void stroke_rows_free(struct stroke_rows *rows)
{
	fit_problem_free(&rows->problem);
	fault_list_free(&rows->faults);
	measurement_free(&rows->measurement);
}

struct stroke_case *stroke_rows_find(struct stroke_rows *rows, const char *shot, int try_number)
{
	for (size_t i = 0; i < rows->problem.stroke_count; i++) {
		const struct stroke_row *row = rows->problem.strokes[i].row;

		if (strcmp(row->shot, shot) == 0 && row->try_number == try_number)
			return &rows->problem.strokes[i];
	}
	stop_program(shot);
	return NULL;
}
