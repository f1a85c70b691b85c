/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/prediction.h"

#include <math.h>
#include <stdlib.h>

#include "advise/prediction_plays.h"

#define TOLERANCE 0.0001 /* of the path, for eyes [m] */

/* What the parts of a prediction are counted from. */
struct counting {
	const struct stroke_scene *scene;
	const struct played_shot *plays;
	struct prediction *prediction;
	double *values; /* room for one of each play */
};

static int compare_numbers(const void *first, const void *second)
{
	double a = *(const double *)first, b = *(const double *)second;

	return (a > b) - (a < b);
}

static double median_of(const double *sorted, size_t count)
{
	return 0.5 * (sorted[(count - 1) / 2] + sorted[count / 2]);
}

/* One more number falls with equal probability into each of the count + 1 gaps between the sorted
 * ones, before them and behind them; so k gaps at either end, k = (1 - coverage) / 2 of them, are
 * left out (Wilks, Ann. Math. Stat. 12, 91 (1941)). */
struct predicted_span prediction_span(double *values, size_t count)
{
	double outside = 0.5 * (1.0 - PREDICTION_COVERAGE) * (double)(count + 1);
	size_t k = (size_t)floor(outside + 1e-9);

	if (k > 0)
		k--;
	qsort(values, count, sizeof *values, compare_numbers);
	return (struct predicted_span){.median = median_of(values, count),
	                               .low95 = values[k],
	                               .high95 = values[count - 1 - k]};
}

static void take_design(struct played_reading designed, struct predicted_reading *reading)
{
	bool rail = quantity_at(reading->quantity).kind == QUANTITY_RAIL;

	reading->designed = designed.happened;
	reading->as_designed = designed.happened ? designed.value : 0.0;
	reading->designed_rail = rail && designed.happened ? (enum rail)designed.rail : RAIL_COUNT;
}

static void count_reading(const struct counting *counting, struct predicted_reading *reading)
{
	for (size_t i = 0; i < counting->prediction->draws; i++) {
		const struct played_shot *play = &counting->plays[i];
		const struct played_reading *seen = &play->readings[reading->quantity];

		if (!play->whole || !seen->happened)
			continue;
		reading->seen++;
		if (seen->rail >= 0 && seen->rail < RAIL_COUNT)
			reading->rails[seen->rail]++;
	}
}

static void choose_rail(struct predicted_reading *reading)
{
	size_t most = 0;

	reading->rail = RAIL_COUNT;
	if (quantity_at(reading->quantity).kind != QUANTITY_RAIL)
		return;
	if (reading->designed && reading->rails[reading->designed_rail] > 0) {
		reading->rail = reading->designed_rail;
		return;
	}
	for (int i = 0; i < RAIL_COUNT; i++)
		if (reading->rails[i] > most) {
			most = reading->rails[i];
			reading->rail = (enum rail)i;
		}
}

static void find_span(const struct counting *counting, struct predicted_reading *reading)
{
	size_t count = 0;

	for (size_t i = 0; i < counting->prediction->draws; i++) {
		const struct played_shot *play = &counting->plays[i];
		const struct played_reading *seen = &play->readings[reading->quantity];

		if (play->whole && seen->happened &&
		    (reading->rail == RAIL_COUNT || seen->rail == (signed char)reading->rail))
			counting->values[count++] = seen->value;
	}
	if (count > 0)
		reading->span = prediction_span(counting->values, count);
}

static void add_reading(const struct counting *counting, const struct played_reading *designed,
                        int number)
{
	struct prediction *prediction = counting->prediction;
	struct predicted_reading *reading = &prediction->readings[prediction->reading_count];

	if ((counting->scene->mask >> number & 1u) == 0)
		return;
	*reading = (struct predicted_reading){.quantity = number};
	take_design(designed[number], reading);
	count_reading(counting, reading);
	if (!reading->designed &&
	    (double)reading->seen < PREDICTION_RARE * (double)prediction->played)
		return;
	choose_rail(reading);
	find_span(counting, reading);
	prediction->reading_count++;
}

static void add_readings(const struct counting *counting, const struct played_reading *designed)
{
	for (int ball = 0; ball < BALL_ROLES; ball++) {
		const int first = ball * QUANTITIES_PER_BALL;

		for (int i = 2; i < QUANTITIES_PER_BALL; i++)
			add_reading(counting, designed, first + i);
		add_reading(counting, designed, first);
		add_reading(counting, designed, first + 1);
	}
	for (int i = BALL_ROLES * QUANTITIES_PER_BALL; i < QUANTITY_COUNT; i++)
		add_reading(counting, designed, i);
}

/* The pocket that is nearest to where the ball was last. */
static int pocket_at(const struct table *table, struct vector3 position)
{
	double along = position.y / table->length;
	int row = along < 0.25 ? 0 : along < 0.75 ? 1 : 2;

	return 2 * row + (position.x > 0.5 * table->width ? 1 : 0);
}

static enum status keep_ends(const struct counting *counting, int role)
{
	struct prediction *prediction = counting->prediction;
	struct predicted_ball *ball = &prediction->balls[role];
	const struct ball_end *designed = &prediction->traced.record.ends[role];

	ball->designed_pocket = designed->pocketed && !designed->left
	                            ? pocket_at(counting->scene->table, designed->position)
	                            : -1;
	ball->places = calloc(prediction->draws, sizeof *ball->places);
	if (ball->places == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < prediction->draws; i++) {
		const struct ball_end *end = &counting->plays[i].ends[role];

		if (!counting->plays[i].whole)
			continue;
		if (end->pocketed && end->left) {
			ball->left++;
		} else if (end->pocketed) {
			ball->fallen++;
			ball->pockets[pocket_at(counting->scene->table, end->position)]++;
		} else {
			ball->places[ball->rests++] =
			    (struct outline_point){end->position.x, end->position.y};
		}
	}
	return STATUS_OK;
}

/* Every second rest makes the outline, the others tell what it holds. */
static enum status find_outline(struct predicted_ball *ball)
{
	struct outline_point *points = calloc(ball->rests / 2 + 1, sizeof *points);
	enum status status;
	size_t count = 0;

	if (points == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < ball->rests; i += 2)
		points[count++] = ball->places[i];
	status = outline_make(points, count, PREDICTION_COVERAGE, &ball->outline);
	free(points);
	for (size_t i = 1; i < ball->rests && status == STATUS_OK; i += 2) {
		ball->tested++;
		ball->inside += outline_holds(&ball->outline, ball->places[i]) ? 1 : 0;
	}
	return status;
}

static enum status sum_up(const struct counting *counting, const struct played_reading *designed)
{
	struct prediction *prediction = counting->prediction;
	enum status status = STATUS_OK;

	for (size_t i = 0; i < prediction->draws; i++)
		prediction->played += counting->plays[i].whole ? 1 : 0;
	add_readings(counting, designed);
	for (int i = 0; i < BALL_ROLES && status == STATUS_OK; i++) {
		if (!counting->scene->setup.present[i])
			continue;
		status = keep_ends(counting, i);
		if (status == STATUS_OK)
			status = find_outline(&prediction->balls[i]);
	}
	return status;
}

static enum status play_and_count(const struct stroke_scene *scene,
                                  const struct prediction_task *task, uint64_t stream,
                                  struct prediction *prediction)
{
	struct played_shot *plays = calloc(task->draws, sizeof *plays);
	double *values = calloc(task->draws, sizeof *values);
	struct counting counting = {
	    .scene = scene, .plays = plays, .prediction = prediction, .values = values};
	struct observed observed[QUANTITY_COUNT];
	struct played_reading designed[QUANTITY_COUNT];
	enum status status = STATUS_SYSTEM;

	if (plays != NULL && values != NULL)
		status = prediction_play(scene, task, stream, plays);
	if (status == STATUS_OK) {
		observe(&prediction->traced.record, scene->design, scene->table, &scene->microphone,
		        scene->setup.balls[BALL_CUE].position, scene->mask, observed);
		prediction_readings(scene->design, scene->mask, observed,
		                    prediction->traced.record.ends, designed);
		status = sum_up(&counting, designed);
	}
	free(plays);
	free(values);
	return status;
}

enum status prediction_make(const struct shot_design *design, const struct prediction_task *task,
                            uint64_t stream, struct prediction *prediction, const char **why)
{
	const struct drawn_table *middle = &task->table->middle;
	struct shot_setup setup;
	struct stroke_scene scene;
	enum status status;

	*prediction = (struct prediction){.design = design, .draws = task->draws};
	if (!stroke_scene_make(&scene, design, task->session, NULL, prediction_mask(design), why))
		return STATUS_INPUT;
	scene.need.everything = true;
	setup = scene.setup;
	for (int i = 0; i < BALL_ROLES; i++)
		setup.bodies[i].grip *= middle->grip[i];
	status = traced_shot_play_rails(design, &setup, &task->session->table, &middle->constants,
	                                middle->rails, scene.end_mass_ratio, TOLERANCE,
	                                &prediction->traced);
	if (status == STATUS_INPUT)
		*why = "the balls do not come to rest at the values of the profile";
	return status == STATUS_OK ? play_and_count(&scene, task, stream, prediction) : status;
}

void prediction_free(struct prediction *prediction)
{
	traced_shot_free(&prediction->traced);
	for (int i = 0; i < BALL_ROLES; i++) {
		free(prediction->balls[i].places);
		outline_free(&prediction->balls[i].outline);
	}
}
