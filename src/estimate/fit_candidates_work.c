/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdatomic.h>
#include <stdlib.h>

#include "base/parallel.h"
#include "estimate/fit_candidates.h"

/* Work on candidates by several threads. */

struct worker {
	struct search search;
	struct fit_problem problem;
	struct fit_end end;
};

struct sharing {
	struct worker *workers;
	atomic_size_t next; /* index of work that nobody has taken */
	size_t count;
	enum status *statuses; /* of the pieces of work */
	enum status (*work)(struct search *worker, size_t index, void *context);
	void *context;
};

/* What one worker does: pieces that nobody has taken, until there are none. */
static void work_off(size_t number, void *context)
{
	struct sharing *sharing = context;

	for (;;) {
		size_t index = atomic_fetch_add(&sharing->next, 1);

		if (index >= sharing->count)
			return;
		sharing->statuses[index] = sharing->work(&sharing->workers[number].search, index,
		                                         sharing->context);
	}
}

static bool hire(struct worker *worker, const struct search *search)
{
	bool ready = fit_problem_copy(search->problem, &worker->problem);

	ready = fit_end_create(&worker->end, search->size) && ready;
	worker->search = *search;
	worker->search.problem = &worker->problem;
	worker->search.end = &worker->end;
	return ready;
}

static void dismiss(struct worker *workers, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		fit_problem_free(&workers[i].problem);
		fit_end_free(&workers[i].end);
	}
	free(workers);
}

static enum status first_failure(const enum status *statuses, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (statuses[i] != STATUS_OK)
			return statuses[i];
	return STATUS_OK;
}

enum status candidates_share_work(struct search *search, size_t count,
                                  enum status (*work)(struct search *worker, size_t index,
                                                      void *context),
                                  void *context)
{
	size_t threads = parallel_threads(search->problem->threads), hired = 0;
	struct sharing sharing = {.count = count, .work = work, .context = context};
	enum status status = STATUS_SYSTEM;
	bool ready;

	if (threads > count)
		threads = count;
	atomic_init(&sharing.next, 0);
	sharing.workers = calloc(threads + 1, sizeof *sharing.workers);
	sharing.statuses = calloc(count + 1, sizeof *sharing.statuses);
	ready = sharing.workers != NULL && sharing.statuses != NULL;
	while (ready && hired < threads)
		ready = hire(&sharing.workers[hired++], search);
	if (ready) {
		parallel_run(threads, (unsigned)threads, work_off, &sharing);
		status = first_failure(sharing.statuses, count);
	}
	if (sharing.workers != NULL)
		dismiss(sharing.workers, hired);
	free(sharing.statuses);
	return status;
}
