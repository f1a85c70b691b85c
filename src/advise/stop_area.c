/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/stop_area.h"

#include <math.h>
#include <stdlib.h>

#include "base/parallel.h"
#include "estimate/stroke_model.h"
#include "physics/cushion.h"

#define STREAMS_OF_A_SHOT 1000000 /* more than draws */

/* What is kept of one play. */
struct play {
	bool whole;
	struct ball_end ends[BALL_ROLES];
	struct observed observed[QUANTITY_COUNT];
};

struct work {
	const struct stroke_scene *scene;
	const struct constant_draws *constants;
	uint64_t seed, first_stream;
	struct play *plays;
};

static void play_one(size_t index, void *context)
{
	struct work *work = context;
	struct play *play = &work->plays[index];
	struct random_stream stream = random_start(work->seed, work->first_stream + index);
	struct constants constants = constant_draws_take(work->constants, &stream);
	double shared[SHARED_UNKNOWNS] = {0.0}, own[OWN_UNKNOWNS];
	struct shot_record record;

	shared[SHARED_HEIGHT] = random_normal(&stream);
	shared[SHARED_SIDE] = random_normal(&stream);
	shared[SHARED_AIM] = random_normal(&stream);
	for (int i = 0; i < OWN_UNKNOWNS; i++)
		own[i] = random_normal(&stream);
	play->whole = stroke_scene_play(work->scene, &constants, shared, own, CUSHION_TOLERANCE,
	                                &record, play->observed);
	for (int i = 0; i < BALL_ROLES; i++)
		play->ends[i] = record.ends[i];
}

/* The rests of every ball, and the rail readings of the design. */
static uint32_t wanted_mask(const struct shot_design *design)
{
	uint32_t mask = 0;

	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);
		bool rest =
		    quantity.kind == QUANTITY_REST_LONG || quantity.kind == QUANTITY_REST_SHORT;

		if ((rest && design->place[quantity.ball].present) ||
		    (quantity.kind == QUANTITY_RAIL && (design->measure >> number & 1u) != 0))
			mask |= UINT32_C(1) << number;
	}
	return mask;
}

/* How large the outline is. The centres of balls reach the frozen lines only. */
static void measure_outline(const struct table *table, double radius, struct ball_area *area)
{
	struct outline_box box = outline_extent(&area->outline);

	area->along = table_long_to_diamonds(table, box.high - box.low);
	area->across = table_short_to_diamonds(table, box.right - box.left);
	area->bed_share = outline_area(&area->outline) /
	                  ((table->length - 2.0 * radius) * (table->width - 2.0 * radius));
}

static struct outline_point rest_of(const struct ball_end *end)
{
	return (struct outline_point){end->position.x, end->position.y};
}

static enum status find_outline(const struct play *plays, int ball, struct ball_area *area)
{
	struct outline_point *points = calloc(STOP_AREA_MADE, sizeof *points);
	enum status status;
	size_t count = 0;

	if (points == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < STOP_AREA_MADE; i++)
		if (plays[i].whole && !plays[i].ends[ball].pocketed)
			points[count++] = rest_of(&plays[i].ends[ball]);
	status = outline_make(points, count, STOP_AREA_SHARE, &area->outline);
	free(points);
	return status;
}

static void count_rests(const struct play *plays, int ball, struct ball_area *area)
{
	for (size_t i = STOP_AREA_MADE; i < STOP_AREA_DRAWS; i++) {
		const struct ball_end *end = &plays[i].ends[ball];

		if (!plays[i].whole)
			continue;
		if (end->pocketed && end->left)
			area->left++;
		else if (end->pocketed)
			area->fallen++;
		else {
			area->rests++;
			area->inside += outline_holds(&area->outline, rest_of(end)) ? 1 : 0;
		}
	}
}

static int compare_numbers(const void *first, const void *second)
{
	double a = *(const double *)first, b = *(const double *)second;

	return (a > b) - (a < b);
}

/* The rail that most plays met at that reading; RAIL_COUNT where none did. */
static enum rail usual_rail(const struct play *plays, int number)
{
	size_t counts[RAIL_COUNT] = {0}, most = 0;
	enum rail rail = RAIL_COUNT;

	for (size_t i = 0; i < STOP_AREA_DRAWS; i++)
		if (plays[i].whole && plays[i].observed[number].happened)
			counts[plays[i].observed[number].rail]++;
	for (int i = 0; i < RAIL_COUNT; i++)
		if (counts[i] > most) {
			most = counts[i];
			rail = (enum rail)i;
		}
	return rail;
}

static void find_span(const struct play *plays, int number, struct stop_area *area)
{
	struct rail_span span = {.quantity = number, .rail = usual_rail(plays, number)};
	double values[STOP_AREA_DRAWS];
	size_t outside;

	if (span.rail == RAIL_COUNT)
		return;
	for (size_t i = 0; i < STOP_AREA_DRAWS; i++) {
		const struct observed *seen = &plays[i].observed[number];

		if (plays[i].whole && seen->happened && seen->rail == span.rail)
			values[span.seen++] = seen->value;
	}
	qsort(values, span.seen, sizeof values[0], compare_numbers);
	outside = (size_t)floor(0.5 * (1.0 - STOP_AREA_SHARE) * (double)span.seen);
	span.low = values[outside];
	span.high = values[span.seen - 1 - outside];
	area->spans[area->span_count++] = span;
}

static enum status sum_up(const struct stroke_scene *scene, const struct play *plays,
                          struct stop_area *area)
{
	enum status status = STATUS_OK;

	for (size_t i = STOP_AREA_MADE; i < STOP_AREA_DRAWS; i++)
		area->played += plays[i].whole ? 1 : 0;
	for (int ball = 0; ball < BALL_ROLES && status == STATUS_OK; ball++) {
		if (!scene->setup.present[ball])
			continue;
		status = find_outline(plays, ball, &area->balls[ball]);
		count_rests(plays, ball, &area->balls[ball]);
		measure_outline(scene->table, scene->setup.bodies[ball].radius, &area->balls[ball]);
	}
	for (int number = 0; number < QUANTITY_COUNT; number++)
		if (quantity_at(number).kind == QUANTITY_RAIL && (scene->mask >> number & 1u) != 0)
			find_span(plays, number, area);
	return status;
}

enum status stop_area_make(const struct shot_design *design, const struct session *session,
                           const struct constant_draws *constants, uint64_t seed, uint64_t stream,
                           unsigned threads, struct stop_area *area, const char **why)
{
	struct stroke_scene scene;
	struct work work = {.scene = &scene,
	                    .constants = constants,
	                    .seed = seed,
	                    .first_stream = (stream + 1) * STREAMS_OF_A_SHOT};
	enum status status;

	*area = (struct stop_area){.played = 0};
	if (!stroke_scene_make(&scene, design, session, NULL, wanted_mask(design), why))
		return STATUS_INPUT;
	/* Also the balls that nobody reads are followed to their rest. */
	scene.need.everything = true;
	work.plays = calloc(STOP_AREA_DRAWS, sizeof *work.plays);
	if (work.plays == NULL)
		return STATUS_SYSTEM;
	status = parallel_run(STOP_AREA_DRAWS, threads, play_one, &work);
	if (status == STATUS_OK)
		status = sum_up(&scene, work.plays, area);
	free(work.plays);
	return status;
}

void stop_area_free(struct stop_area *area)
{
	for (int i = 0; i < BALL_ROLES; i++)
		outline_free(&area->balls[i].outline);
}
