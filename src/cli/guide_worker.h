/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_GUIDE_WORKER_H
#define RESTPOINT_CLI_GUIDE_WORKER_H

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "advise/guide_goal.h"
#include "base/parallel.h"
#include "base/status.h"
#include "base/text.h"
#include "model/measurement.h"
#include "model/protocol.h"
#include "report/guide_text.h"

/* Fits of a session beside its prompt: one at a time, each of the file as it was written. A newer
 * file stops the fit of an older one. */

/* One fit, with all that it hangs on. */
struct guide_fit {
	const struct protocol *protocol;
	const struct guide_goal *goal;
	uint64_t seed;
	struct text file; /* what was written */
	volatile sig_atomic_t stop;
	int done;                       /* descriptor that a byte is written to at the end */
	struct measurement measurement; /* the file as read again */
	struct guide_known known;
};

struct guide_worker {
	const struct protocol *protocol;
	const struct guide_goal *goal;
	uint64_t seed;
	int done[2]; /* pipe; -1 where there is none */
	struct parallel_task *task;
	struct guide_fit *running; /* NULL: none is at work */
	size_t fits;               /* that came to their end */
	struct guide_fit *last;    /* the last one that came to its end; NULL: none */
	struct text waiting;       /* the file to fit next; empty: none */
};

/* STATUS_OK or STATUS_SYSTEM. Release with guide_worker_free, which stops what runs. */
enum status guide_worker_start(struct guide_worker *worker, const struct protocol *protocol,
                               const struct guide_goal *goal, uint64_t seed);
void guide_worker_free(struct guide_worker *worker);

/* Asks for a fit of a file with those contents. False when memory is out or no thread is to be
 * had. */
bool guide_worker_ask(struct guide_worker *worker, const struct text *file);

/* The descriptor that can be read when guide_worker_collect has something to do. */
int guide_worker_call(const struct guide_worker *worker);

/* Takes the fit that ended, and begins the one that waits. Returns whether there is news. */
bool guide_worker_collect(struct guide_worker *worker);

/* Waits until nothing runs or a signal is caught. Returns whether there is news. */
bool guide_worker_finish(struct guide_worker *worker);

/* What the last fit told; NULL when there is none. It lives until the next one is taken. */
const struct guide_known *guide_worker_known(const struct guide_worker *worker);

#endif
