/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/adjustments.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "advise/constant_draws.h"
#include "base/parallel.h"

#define MATTERS 0.5 /* of the threshold */

/* One adjustment on one pair of tables. */
struct pair_solution {
	double home, here, miss;
};

struct work {
	const struct adjustments_task *task;
	const struct adjustment *list;
	size_t count;
	bool same;
	struct table_draws draws[2]; /* home, here */
	double middle[2][64];        /* solutions at the profiles' values, by adjustment */
	struct pair_solution *pairs; /* by draw, then by adjustment */
	double *values;              /* room for one of each draw */
};

static struct adjustment_table table_of(const struct work *work, int side,
                                        const struct drawn_table *drawn)
{
	const struct adjustments_task *task = work->task;

	return (struct adjustment_table){
	    .table = side == 0 ? task->home->table : task->here->table,
	    .drawn = *drawn,
	    .end_mass_ratio = task->end_mass_ratio,
	    .elevation_deg = task->elevation_deg};
}

static double start_of(const struct work *work, int side, size_t number)
{
	double middle = work->middle[side][number];

	return isfinite(middle) ? middle : work->list[number].start;
}

static void solve_pair(size_t index, void *context)
{
	struct work *work = context;
	struct pair_solution *pairs = &work->pairs[index * work->count];
	struct random_stream first = random_start(work->task->seed, 2 * index);
	struct random_stream second = random_start(work->task->seed, 2 * index + 1);
	struct drawn_table home = table_draws_take(&work->draws[0], &first);
	struct drawn_table here = work->same ? home : table_draws_take(&work->draws[1], &second);
	struct adjustment_table at_home = table_of(work, 0, &home), at_here = table_of(work, 1, &here);

	for (size_t i = 0; i < work->count; i++) {
		const struct adjustment *adjustment = &work->list[i];
		struct pair_solution *pair = &pairs[i];

		pair->home = adjustment_solve(adjustment, &at_home, start_of(work, 0, i));
		pair->here = work->same ? pair->home
		                        : adjustment_solve(adjustment, &at_here,
		                                           start_of(work, 1, i));
		pair->miss = isfinite(pair->home)
		                 ? adjustment_result(adjustment, &at_here, pair->home)
		                 : (double)NAN;
	}
}

static double change_between(const struct adjustment *adjustment, double home, double here)
{
	if (adjustment->varied == ADJUST_SPEED)
		return 100.0 * (here / home - 1.0);
	return here - home;
}

static double value_of(const struct pair_solution *pair, const struct adjustment *adjustment,
                       int what)
{
	switch (what) {
	case 0:
		return pair->home;
	case 1:
		return pair->here;
	case 2:
		return change_between(adjustment, pair->home, pair->here);
	default:
		return pair->miss;
	}
}

/* The span of one number over the pairs that were solved; *seen receives of how many. */
static struct predicted_span span_of(const struct work *work, size_t number, int what, size_t *seen)
{
	*seen = 0;
	for (size_t i = 0; i < work->task->draws; i++) {
		const struct pair_solution *pair = &work->pairs[i * work->count + number];
		double value = value_of(pair, &work->list[number], what);

		if (isfinite(pair->home) && isfinite(pair->here) && isfinite(value))
			work->values[(*seen)++] = value;
	}
	if (*seen == 0)
		return (struct predicted_span){.median = 0.0};
	return prediction_span(work->values, *seen);
}

static double share_of_sign(const struct work *work, size_t number, double median, size_t solved)
{
	size_t alike = 0;

	for (size_t i = 0; i < work->task->draws; i++) {
		const struct pair_solution *pair = &work->pairs[i * work->count + number];

		if (isfinite(pair->home) && isfinite(pair->here) &&
		    change_between(&work->list[number], pair->home, pair->here) * median > 0.0)
			alike++;
	}
	return solved > 0 ? (double)alike / (double)solved : 0.0;
}

/* The change with one constant of one profile moved by 1 sd of what is known of it. */
static double moved_change(const struct work *work, size_t number, int side, enum constant_id id)
{
	const struct constant_prior *prior = constant_prior(id);
	struct drawn_table drawn = work->draws[side].middle;
	const struct profile *profile = side == 0 ? work->task->home : work->task->here;
	double *value = &drawn.constants.value[id], moved[2];
	struct adjustment_table table;

	*value = constant_from_scale(id, constant_to_scale(id, *value) +
	                                     constant_draws_spread(id, &profile->constants[id]));
	*value = fmin(prior->highest, fmax(prior->lowest, *value));
	table = table_of(work, side, &drawn);
	moved[side] = adjustment_solve(&work->list[number], &table, start_of(work, side, number));
	moved[1 - side] = work->middle[1 - side][number];
	return change_between(&work->list[number], moved[0], moved[1]);
}

/* A stroke that no longer does it depends on that constant as well. */
static unsigned find_unknown(const struct work *work, size_t number)
{
	const struct profile *const profiles[] = {work->task->home, work->task->here};
	const struct adjustment *adjustment = &work->list[number];
	double change = change_between(adjustment, work->middle[0][number],
	                               work->middle[1][number]);
	unsigned unknown = 0;

	for (int side = 0; side < 2 && !work->same; side++)
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			double shift;

			if (profiles[side]->constants[id].state != KNOWLEDGE_NOT_DETERMINED)
				continue;
			shift = moved_change(work, number, side, (enum constant_id)id) - change;
			if (!(fabs(shift) < MATTERS * adjustment_threshold(adjustment->varied)))
				unknown |= 1u << id;
		}
	return unknown;
}

static void summarise(const struct work *work, size_t number, struct adjustment_change *change)
{
	double threshold = adjustment_threshold(work->list[number].varied);
	size_t seen;

	*change = (struct adjustment_change){.adjustment = &work->list[number],
	                                     .draws = work->task->draws};
	for (size_t i = 0; i < work->task->draws; i++) {
		const struct pair_solution *pair = &work->pairs[i * work->count + number];

		change->home_without += isfinite(pair->home) ? 0 : 1;
		change->here_without += isfinite(pair->here) ? 0 : 1;
	}
	change->home = span_of(work, number, 0, &seen);
	change->here = span_of(work, number, 1, &seen);
	change->change = span_of(work, number, 2, &change->solved);
	change->miss = span_of(work, number, 3, &change->miss_seen);
	change->possible = 2 * change->solved >= change->draws;
	change->sure = share_of_sign(work, number, change->change.median, change->solved);
	change->worth_making = change->possible && fabs(change->change.median) >= threshold;
	change->settled = change->possible && -change->change.low95 < threshold &&
	                  change->change.high95 < threshold;
	change->beyond_doubt = change->possible && change->sure >= ADJUSTMENTS_SURE;
	change->rests_on = find_unknown(work, number);
}

static bool intervals_equal(const struct interval *a, const struct interval *b)
{
	return a->value == b->value && a->standard_error == b->standard_error &&
	       a->low95 == b->low95 && a->high95 == b->high95;
}

static bool tables_equal(const struct table *a, const struct table *b)
{
	return a->length == b->length && a->width == b->width && a->nose_height == b->nose_height &&
	       a->ball_diameter == b->ball_diameter && a->ball_mass == b->ball_mass &&
	       a->cue_ball_diameter == b->cue_ball_diameter &&
	       a->cue_ball_mass == b->cue_ball_mass;
}

/* Made from the same files, or, where none is named, not told apart by that. */
static bool sources_equal(const struct profile *a, const struct profile *b)
{
	if (a->source_count != b->source_count)
		return false;
	for (size_t i = 0; i < a->source_count; i++)
		if (strcmp(a->sources[i].sha256, b->sources[i].sha256) != 0)
			return false;
	return true;
}

bool adjustments_same(const struct profile *home, const struct profile *here)
{
	if (!tables_equal(&home->table, &here->table) || !sources_equal(home, here) ||
	    home->has_slope != here->has_slope || home->has_rails != here->has_rails ||
	    home->has_nap != here->has_nap || home->ball_count != here->ball_count ||
	    home->has_liveliness_fall != here->has_liveliness_fall)
		return false;
	for (int i = 0; i < CONSTANT_COUNT; i++)
		if (home->constants[i].state != here->constants[i].state ||
		    !intervals_equal(&home->constants[i].best, &here->constants[i].best))
			return false;
	for (size_t i = 0; i < home->ball_count; i++)
		if (strcmp(home->balls[i].label, here->balls[i].label) != 0 ||
		    !intervals_equal(&home->balls[i].grip.best, &here->balls[i].grip.best))
			return false;
	return true;
}

static void solve_middles(struct work *work)
{
	for (int side = 0; side < 2; side++) {
		struct adjustment_table table = table_of(work, side, &work->draws[side].middle);

		for (size_t i = 0; i < work->count; i++)
			work->middle[side][i] =
			    adjustment_solve(&work->list[i], &table, work->list[i].start);
	}
}

enum status adjustments_find(const struct adjustments_task *task,
                             struct adjustment_change *changes)
{
	struct work work = {.task = task, .same = adjustments_same(task->home, task->here)};
	enum status status = STATUS_SYSTEM;

	work.list = adjustment_list(&work.count);
	if (work.count > sizeof(work.middle[0]) / sizeof(work.middle[0][0]))
		return STATUS_INTERNAL;
	work.draws[0] = table_draws_profile(task->home, NULL);
	work.draws[1] = table_draws_profile(task->here, NULL);
	work.pairs = calloc(task->draws * work.count, sizeof *work.pairs);
	work.values = calloc(task->draws, sizeof *work.values);
	if (work.pairs != NULL && work.values != NULL) {
		solve_middles(&work);
		status = parallel_run(task->draws, task->threads, solve_pair, &work);
		for (size_t i = 0; i < work.count && status == STATUS_OK; i++)
			summarise(&work, i, &changes[i]);
	}
	free(work.pairs);
	free(work.values);
	return status;
}
