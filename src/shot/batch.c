/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/batch.h"

#include "base/parallel.h"

/* The jobs go through the untyped context of parallel_run inside a structure, which keeps them
 * const. */
struct batch {
	const struct shot_job *jobs;
};

static void play_job(size_t index, void *context)
{
	const struct batch *batch = context;
	const struct shot_job *job = &batch->jobs[index];

	shot_play(job->scene, job->states, job->need, job->record);
}

enum status shot_batch_play(const struct shot_job *jobs, size_t count, unsigned threads)
{
	struct batch batch = {jobs};

	return parallel_run(count, threads, play_job, &batch);
}
