/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/parallel.h"

#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdlib.h>
#include <unistd.h>

/* What the threads of one run share. Each takes the next piece that nobody has taken. */
struct pool {
	atomic_size_t next;
	size_t count;
	void (*work)(size_t index, void *context);
	void *context;
};

static void work_off(struct pool *pool)
{
	for (;;) {
		size_t index = atomic_fetch_add(&pool->next, 1);

		if (index >= pool->count)
			return;
		pool->work(index, pool->context);
	}
}

static void *helper(void *pool)
{
	work_off(pool);
	return NULL;
}

/* Starts helpers until there are `wanted` or the system refuses; returns how many run. They inherit
 * a mask that keeps all signals from them, so that handlers run where they always did. */
static unsigned start_helpers(struct pool *pool, unsigned wanted, pthread_t *helpers)
{
	sigset_t all, before;
	unsigned started = 0;

	if (wanted == 0)
		return 0;
	sigfillset(&all);
	if (pthread_sigmask(SIG_SETMASK, &all, &before) != 0)
		return 0;
	while (started < wanted && pthread_create(&helpers[started], NULL, helper, pool) == 0)
		started++;
	pthread_sigmask(SIG_SETMASK, &before, NULL);
	return started;
}

unsigned parallel_threads(unsigned threads)
{
	if (threads == 0) {
		long online = sysconf(_SC_NPROCESSORS_ONLN);

		if (online > PARALLEL_THREADS)
			return PARALLEL_THREADS;
		return online < 1 ? 1 : (unsigned)online;
	}
	return threads > PARALLEL_THREADS ? PARALLEL_THREADS : threads;
}

enum status parallel_run(size_t count, unsigned threads, void (*work)(size_t index, void *context),
                         void *context)
{
	pthread_t helpers[PARALLEL_THREADS];
	struct pool pool = {.count = count, .work = work, .context = context};
	unsigned started;

	if (work == NULL)
		return STATUS_INTERNAL;
	atomic_init(&pool.next, 0);
	threads = parallel_threads(threads);
	if (threads > count)
		threads = count > 0 ? (unsigned)count : 1;
	started = start_helpers(&pool, threads - 1, helpers);
	work_off(&pool);
	for (unsigned i = 0; i < started; i++)
		pthread_join(helpers[i], NULL);
	return STATUS_OK;
}

struct parallel_task {
	pthread_t thread;
	void (*work)(void *context);
	void *context;
};

static void *run_task(void *pointer)
{
	struct parallel_task *task = pointer;

	task->work(task->context);
	return NULL;
}

struct parallel_task *parallel_start(void (*work)(void *context), void *context)
{
	struct parallel_task *task = malloc(sizeof *task);
	sigset_t all, before;
	bool started;

	if (task == NULL)
		return NULL;
	*task = (struct parallel_task){.work = work, .context = context};
	sigfillset(&all);
	if (pthread_sigmask(SIG_SETMASK, &all, &before) != 0) {
		free(task);
		return NULL;
	}
	started = pthread_create(&task->thread, NULL, run_task, task) == 0;
	pthread_sigmask(SIG_SETMASK, &before, NULL);
	if (!started) {
		free(task);
		return NULL;
	}
	return task;
}

void parallel_join(struct parallel_task *task)
{
	if (task == NULL)
		return;
	pthread_join(task->thread, NULL);
	free(task);
}
