/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/guide_worker.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/signals.h"
#include "estimate/next_shots.h"
#include "files/measurement_file.h"

static const struct protocol *find(void *context, const char *file, const char *name,
                                   struct fault_list *faults)
{
	(void)file;
	(void)name;
	(void)faults;
	return context;
}

/* Reads the file again: what is fitted is what is on the disk. */
static bool read_again(struct guide_fit *fit)
{
	struct protocol_finder finder = {find, (void *)(uintptr_t)fit->protocol};
	const struct protocol *protocol;
	struct fault_list faults;
	bool read;

	if (fault_list_create(&faults) != STATUS_OK)
		return false;
	read = measurement_file_parse("session", text_bytes(&fit->file), fit->file.length, &finder,
	                              &fit->measurement, &protocol, &faults) == STATUS_OK;
	fault_list_free(&faults);
	for (size_t i = 0; read && i < fit->measurement.row_count; i++)
		fit->known.strokes += fit->measurement.rows[i].valid;
	return read;
}

/* Which shot of the protocol to play next. */
static void choose_next(struct guide_fit *fit, const struct fit_input *input)
{
	const struct protocol *protocol = fit->protocol;
	struct next_candidate *candidates = calloc(protocol->shot_count, sizeof *candidates);

	if (candidates == NULL)
		return;
	for (size_t i = 0; i < protocol->shot_count; i++)
		candidates[i] = (struct next_candidate){protocol, &protocol->shots[i]};
	fit->known.has_next =
	    next_shots_choose_for(input, 1, &fit->known.fit, candidates, protocol->shot_count,
	                          fit->goal->stated ? fit->goal->wanted : NULL,
	                          &fit->known.next) == STATUS_OK;
	free(candidates);
}

static void work(void *context)
{
	struct guide_fit *fit = context;
	struct progress progress = {.stop = &fit->stop};
	struct fit_options options = {.seed = fit->seed, .progress = &progress};
	struct fault_list faults;

	fit->known.status = STATUS_SYSTEM;
	if (read_again(fit) && fault_list_create(&faults) == STATUS_OK) {
		struct fit_input input = {&fit->measurement, fit->protocol};

		fit->known.status = fit_run(&input, 1, &options, &fit->known.fit, &faults);
		if (guide_known_holds(&fit->known) && fit->stop == 0)
			choose_next(fit, &input);
		fault_list_free(&faults);
	}
	while (write(fit->done, "", 1) < 0 && errno == EINTR)
		continue;
}

static void free_fit(struct guide_fit *fit)
{
	if (fit == NULL)
		return;
	fit_result_free(&fit->known.fit);
	measurement_free(&fit->measurement);
	text_free(&fit->file);
	free(fit);
}

enum status guide_worker_start(struct guide_worker *worker, const struct protocol *protocol,
                               const struct guide_goal *goal, uint64_t seed)
{
	*worker = (struct guide_worker){
	    .protocol = protocol, .goal = goal, .seed = seed, .done = {-1, -1}};
	if (pipe(worker->done) != 0)
		return STATUS_SYSTEM;
	fcntl(worker->done[0], F_SETFD, FD_CLOEXEC);
	fcntl(worker->done[1], F_SETFD, FD_CLOEXEC);
	return STATUS_OK;
}

void guide_worker_free(struct guide_worker *worker)
{
	if (worker->running != NULL)
		worker->running->stop = 1;
	parallel_join(worker->task);
	free_fit(worker->running);
	free_fit(worker->last);
	text_free(&worker->waiting);
	for (int i = 0; i < 2 && worker->protocol != NULL; i++)
		if (worker->done[i] >= 0)
			close(worker->done[i]);
	memset(worker, 0, sizeof *worker);
}

/* Begins the fit that waits. */
static bool begin(struct guide_worker *worker)
{
	struct guide_fit *fit = calloc(1, sizeof *fit);

	if (fit == NULL)
		return false;
	fit->protocol = worker->protocol;
	fit->goal = worker->goal;
	fit->seed = worker->seed;
	fit->done = worker->done[1];
	fit->file = worker->waiting;
	worker->waiting = (struct text){0};
	for (int id = 0; id < CONSTANT_COUNT; id++)
		fit->known.before[id] =
		    worker->last != NULL ? guide_goal_error(&worker->last->known.fit.constants[id])
					 : -1.0;
	worker->task = parallel_start(work, fit);
	if (worker->task == NULL) {
		free_fit(fit);
		return false;
	}
	worker->running = fit;
	return true;
}

bool guide_worker_ask(struct guide_worker *worker, const struct text *file)
{
	text_free(&worker->waiting);
	text_add_bytes(&worker->waiting, text_bytes(file), file->length);
	if (worker->waiting.failed)
		return false;
	if (worker->running == NULL)
		return begin(worker);
	worker->running->stop = 1;
	return true;
}

int guide_worker_call(const struct guide_worker *worker)
{
	return worker->running != NULL ? worker->done[0] : -1;
}

/* Whether the running fit has written its byte; waits for it, or not. */
static bool has_ended(const struct guide_worker *worker, int timeout)
{
	struct pollfd watched = {.fd = worker->done[0], .events = POLLIN};
	char byte;

	if (worker->running == NULL || poll(&watched, 1, timeout) <= 0)
		return false;
	return read(worker->done[0], &byte, 1) == 1;
}

bool guide_worker_collect(struct guide_worker *worker)
{
	struct guide_fit *ended = worker->running;
	bool news;

	if (!has_ended(worker, 0))
		return false;
	parallel_join(worker->task);
	worker->task = NULL;
	worker->running = NULL;
	news = ended->stop == 0;
	if (news && guide_known_holds(&ended->known)) {
		free_fit(worker->last);
		worker->last = ended;
		worker->fits++;
	} else {
		free_fit(ended);
		news = false;
	}
	if (worker->waiting.length > 0)
		begin(worker);
	return news;
}

bool guide_worker_finish(struct guide_worker *worker)
{
	bool news = false;

	while (worker->running != NULL && *signals_flag() == 0) {
		struct pollfd watched = {.fd = worker->done[0], .events = POLLIN};

		poll(&watched, 1, 100); /* a signal that came just before is seen soon after */
		news = guide_worker_collect(worker) || news;
	}
	return news;
}

const struct guide_known *guide_worker_known(const struct guide_worker *worker)
{
	return worker->last != NULL ? &worker->last->known : NULL;
}
