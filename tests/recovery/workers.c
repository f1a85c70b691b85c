/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "workers.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define WORKERS_MOST 16
#define MESSAGE_MOST 3072 /* below PIPE_BUF, so that messages of several processes do not mix */

/* The work of one process: every stride-th piece, each told at once. */
static void work(size_t first, size_t stride, size_t count, size_t size, workers_task *task,
                 void *context, int pipe_end)
{
	char message[MESSAGE_MOST];

	for (size_t i = first; i < count; i += stride) {
		memset(message, 0, sizeof message);
		memcpy(message, &i, sizeof i);
		task(i, message + sizeof i, context);
		if (write(pipe_end, message, sizeof i + size) != (ssize_t)(sizeof i + size))
			_exit(EXIT_FAILURE);
	}
	_exit(EXIT_SUCCESS);
}

/* Reads one whole message; false at the end. */
static bool read_message(int pipe_end, char *message, size_t length)
{
	size_t have = 0;

	while (have < length) {
		ssize_t got = read(pipe_end, message + have, length - have);

		if (got < 0 && errno == EINTR)
			continue;
		if (got <= 0)
			return false;
		have += (size_t)got;
	}
	return true;
}

static size_t collect(int pipe_end, size_t count, size_t size, char *outcomes)
{
	char message[MESSAGE_MOST];
	size_t told = 0, number;

	while (read_message(pipe_end, message, sizeof number + size)) {
		memcpy(&number, message, sizeof number);
		if (number < count) {
			memcpy(outcomes + number * size, message + sizeof number, size);
			told++;
		}
	}
	return told;
}

bool workers_run(size_t count, size_t size, workers_task *task, void *context, void *outcomes)
{
	long processors = sysconf(_SC_NPROCESSORS_ONLN);
	size_t workers = processors < 1 ? 1 : (size_t)processors;
	bool started = true, well = true;
	int ends[2];
	size_t told;

	if (workers > WORKERS_MOST)
		workers = WORKERS_MOST;
	if (size + sizeof(size_t) > MESSAGE_MOST || pipe(ends) != 0)
		return false;
	fflush(NULL);
	for (size_t i = 0; i < workers; i++) {
		pid_t child = fork();

		if (child == 0) {
			close(ends[0]);
			work(i, workers, count, size, task, context, ends[1]);
		}
		started = started && child > 0;
	}
	close(ends[1]);
	told = collect(ends[0], count, size, outcomes);
	close(ends[0]);
	for (;;) {
		int status;
		pid_t child = wait(&status);

		if (child < 0 && errno == EINTR)
			continue;
		if (child < 0)
			break;
		well = well && WIFEXITED(status) && WEXITSTATUS(status) == EXIT_SUCCESS;
	}
	return started && well && told == count;
}
