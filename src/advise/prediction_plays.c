/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/prediction_plays.h"

#include <math.h>

#include "base/parallel.h"
#include "physics/cushion.h"

#define STREAMS_OF_A_SHOT 1000000 /* more than draws */

struct work {
	const struct stroke_scene *scene;
	const struct prediction_task *task;
	uint64_t first_stream;
	struct played_shot *plays;
};

uint32_t prediction_mask(const struct shot_design *design)
{
	uint32_t mask = 0;

	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);
		bool there = quantity.kind == QUANTITY_WATCH
		                 ? quantity.number <= design->watch_count
		             : quantity.kind == QUANTITY_SOUND
		                 ? !design->launch.by_ramp || quantity.number > 1
		                 : design->place[quantity.ball].present;

		/* The first sound after a ramp is where its clock starts. */
		if (there)
			mask |= UINT32_C(1) << number;
	}
	return mask;
}

static bool comes_to_rest(struct moment moment, const struct ball_end ends[BALL_ROLES])
{
	bool rest = moment.kind == MOMENT_REST || moment.kind == MOMENT_STILL;

	return !rest || !ends[moment.ball].pocketed;
}

static bool is_there(const struct shot_design *design, int number,
                     const struct ball_end ends[BALL_ROLES])
{
	struct quantity quantity = quantity_at(number);
	const struct watch_interval *watch;

	if (quantity.kind != QUANTITY_WATCH)
		return true;
	watch = &design->watch[quantity.number - 1];
	return comes_to_rest(watch->from, ends) && comes_to_rest(watch->to, ends);
}

void prediction_readings(const struct shot_design *design, uint32_t mask,
                         const struct observed observed[QUANTITY_COUNT],
                         const struct ball_end ends[BALL_ROLES],
                         struct played_reading readings[QUANTITY_COUNT])
{
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		const struct observed *seen = &observed[number];

		readings[number] = (struct played_reading){.happened = false};
		if ((mask >> number & 1u) == 0)
			continue;
		readings[number] = (struct played_reading){
		    .value = seen->value,
		    .happened = seen->happened && !seen->pocketed && is_there(design, number, ends),
		    .rail = (signed char)seen->rail};
	}
}

/* The table as unknowns of a stroke. */
static void set_table(const struct drawn_table *table, double shared[SHARED_UNKNOWNS])
{
	for (int i = SHARED_HABITS; i < SHARED_UNKNOWNS; i++)
		shared[i] = 0.0;
	for (int i = 0; i < BALL_ROLES; i++)
		shared[SHARED_GRIP + i] = log(table->grip[i]) / GRIP_SPREAD;
	for (int i = 0; i < RAIL_COUNT; i++) {
		shared[SHARED_RAIL_LIVELINESS + i] =
		    table->rails[i].liveliness / RAIL_LIVELINESS_SPREAD;
		shared[SHARED_RAIL_GRIP + i] = log(table->rails[i].grip) / RAIL_GRIP_SPREAD;
	}
}

static void play_one(size_t index, void *context)
{
	struct work *work = context;
	struct played_shot *play = &work->plays[index];
	struct random_stream stream = random_start(work->task->seed, work->first_stream + index);
	struct drawn_table table = table_draws_take(work->task->table, &stream);
	double shared[SHARED_UNKNOWNS], own[OWN_UNKNOWNS];
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;

	player_draws_take(work->task->player, &stream, shared, own);
	set_table(&table, shared);
	for (int i = OWN_STROKE; i < OWN_UNKNOWNS; i++)
		own[i] = random_normal(&stream);
	play->whole = stroke_scene_play(work->scene, &table.constants, shared, own,
	                                CUSHION_TOLERANCE, &record, observed);
	if (!play->whole)
		return;
	for (int i = 0; i < BALL_ROLES; i++)
		play->ends[i] = record.ends[i];
	prediction_readings(work->scene->design, work->scene->mask, observed, play->ends,
	                    play->readings);
}

enum status prediction_play(const struct stroke_scene *scene, const struct prediction_task *task,
                            uint64_t stream, struct played_shot *plays)
{
	struct work work = {.scene = scene,
	                    .task = task,
	                    .first_stream = (stream + 1) * STREAMS_OF_A_SHOT,
	                    .plays = plays};

	return parallel_run(task->draws, task->threads, play_one, &work);
}
