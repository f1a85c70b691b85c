/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/effects.h"

#include <math.h>
#include <stdlib.h>

#include "base/parallel.h"

#define AFTER_STREAMS ((uint64_t)1 << 32) /* draws of a second table are independent of the first */

/* What one draw gives. */
struct effects_draw {
	struct effects_bench benches[2]; /* before, after */
	double *before, *after;          /* one number of each set-up */
};

struct work {
	const struct effects_task *task;
	size_t setup_count;
	struct effects_draw *draws;
	double *numbers; /* of all draws: before, after */
};

static struct effects_bench bench_of(const struct effects_task *task, int time,
                                     struct drawn_table drawn)
{
	drawn.grip[BALL_CUE] = drawn.grip[task->struck[time]];
	/* A second object ball is one like the first. */
	drawn.grip[BALL_OBJECT2] = drawn.grip[BALL_OBJECT];
	return effects_bench_make(task->table[time], &drawn, task->grip[time]);
}

/* The friction that a set-up is about. */
static double friction_of(const struct effects_bench *bench, const struct effect_setup *setup)
{
	double grip = bench->bodies[setup->subject].grip;

	if (setup->rests_on == BALL_FRICTION)
		grip = sqrt(grip * bench->bodies[BALL_OBJECT].grip);
	return bench->constants.value[setup->rests_on] * grip;
}

static void measure(const struct work *work, struct effects_draw *draw)
{
	for (size_t i = 0; i < work->setup_count; i++) {
		const struct effect_setup *setup = effects_setup_at(i);

		struct effect_play play = setup->play;

		if (work->task->speed > 0.0 && setup->pace == EFFECT_PACE_FREE)
			play.speed = work->task->speed;
		draw->before[i] = setup->measure(&draw->benches[0], &play);
		draw->after[i] = setup->measure(&draw->benches[1], &play);
	}
}

/* Draw 0 is none but the profiles' values. */
static void play_one(size_t index, void *context)
{
	struct work *work = context;
	const struct effects_task *task = work->task;
	struct random_stream first = random_start(task->seed, index);
	struct random_stream second = random_start(task->seed, AFTER_STREAMS + index);
	const struct table_draws *other = task->draws[1];
	struct drawn_table before =
	    index == 0 ? task->draws[0]->middle : table_draws_take(task->draws[0], &first);
	struct drawn_table after = other == NULL ? before
	                           : index == 0  ? other->middle
	                                         : table_draws_take(other, &second);
	struct effects_draw *draw = &work->draws[index];

	draw->benches[0] = bench_of(task, 0, before);
	draw->benches[1] = bench_of(task, 1, after);
	measure(work, draw);
}

static double share(size_t count, size_t all)
{
	return all > 0 ? (double)count / (double)all : 0.0;
}

static enum effect_verdict verdict_of(const struct effect_result *result)
{
	if (result->more >= EFFECTS_BEYOND_DOUBT)
		return EFFECT_MORE;
	if (result->less >= EFFECTS_BEYOND_DOUBT)
		return EFFECT_LESS;
	if (result->more == 0.0 && result->less == 0.0)
		return EFFECT_NONE;
	return EFFECT_UNSURE;
}

static int slippery_of(const struct work *work, const struct effect_setup *setup)
{
	size_t more = 0, less = 0, count = work->task->count;

	for (size_t i = 1; i <= count; i++) {
		const struct effects_bench *benches = work->draws[i].benches;
		double before = friction_of(&benches[0], setup),
		       after = friction_of(&benches[1], setup);

		more += after < before ? 1 : 0;
		less += after > before ? 1 : 0;
	}
	return share(more, count) >= EFFECTS_BEYOND_DOUBT   ? 1
	       : share(less, count) >= EFFECTS_BEYOND_DOUBT ? -1
	                                                    : 0;
}

static void compare_with_practice(const struct work *work, struct effect_result *result)
{
	const struct effect_setup *setup = result->setup;
	int found = result->verdict == EFFECT_MORE ? 1 : result->verdict == EFFECT_LESS ? -1 : 0;
	int sign;

	result->slippery = setup->practice_sign != 0 ? slippery_of(work, setup) : 0;
	sign = setup->practice_sign * result->slippery;
	result->as_said = sign * found > 0;
	result->reversed = sign * found < 0;
}

static bool comes_about(const struct effects_draw *draw, size_t number)
{
	return isfinite(draw->before[number]) && isfinite(draw->after[number]);
}

/* Spans of one set-up; values has room for three numbers of each draw. */
static void sum_up(const struct work *work, size_t number, double *values,
                   struct effect_result *result)
{
	const size_t room = work->task->count + 1;
	double *before = values, *after = values + room, *change = values + 2 * room;
	size_t more = 0, less = 0, count = 0;

	for (size_t i = 1; i < room; i++) {
		const struct effects_draw *draw = &work->draws[i];

		if (!comes_about(draw, number))
			continue;
		before[count] = draw->before[number];
		after[count] = draw->after[number];
		change[count] = after[count] - before[count];
		more += change[count] > EFFECTS_NOTHING ? 1 : 0;
		less += change[count] < -EFFECTS_NOTHING ? 1 : 0;
		count++;
	}
	result->counted = count;
	result->more = share(more, count);
	result->less = share(less, count);
	result->verdict = verdict_of(result);
	if (count == 0)
		return;
	result->before_span = prediction_span(before, count);
	result->after_span = prediction_span(after, count);
	result->change_span = prediction_span(change, count);
}

static void fill(const struct work *work, double *values, struct effects *effects)
{
	const struct effects_draw *middle = &work->draws[0];

	for (size_t i = 0; i < work->setup_count; i++) {
		const struct effect_setup *setup = effects_setup_at(i);
		struct effect_result *result = &effects->results[effects->count];

		if (work->task->speed > 0.0 && setup->pace == EFFECT_PACE_VARIANT)
			continue;
		effects->count++;
		*result = (struct effect_result){.setup = setup,
		                                 .happens = comes_about(middle, i),
		                                 .before = middle->before[i],
		                                 .after = middle->after[i]};
		sum_up(work, i, values, result);
		compare_with_practice(work, result);
	}
}

static enum status play_all(struct work *work, double *values, struct effects *effects)
{
	const size_t room = work->task->count + 1;
	enum status status;

	for (size_t i = 0; i < room; i++) {
		work->draws[i].before = work->numbers + 2 * i * work->setup_count;
		work->draws[i].after = work->draws[i].before + work->setup_count;
	}
	status = parallel_run(room, work->task->threads, play_one, work);
	if (status == STATUS_OK)
		fill(work, values, effects);
	return status;
}

enum status effects_make(const struct effects_task *task, struct effects *effects)
{
	struct work work = {.task = task, .setup_count = effects_setup_count()};
	const size_t room = task->count + 1;
	double *values = calloc(3 * room, sizeof *values);
	enum status status = STATUS_SYSTEM;

	*effects = (struct effects){0};
	work.draws = calloc(room, sizeof *work.draws);
	work.numbers = calloc(2 * room * work.setup_count, sizeof *work.numbers);
	effects->results = calloc(work.setup_count, sizeof *effects->results);
	if (values != NULL && work.draws != NULL && work.numbers != NULL &&
	    effects->results != NULL)
		status = play_all(&work, values, effects);
	free(values);
	free(work.draws);
	free(work.numbers);
	return status;
}

void effects_free(struct effects *effects)
{
	free(effects->results);
	*effects = (struct effects){0};
}
