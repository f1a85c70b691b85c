/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_PARALLEL_H
#define RESTPOINT_BASE_PARALLEL_H

#include <stddef.h>

#include "base/status.h"

/* Pieces of work that do not depend on one another, shared among the processors. */

#define PARALLEL_THREADS 64 /* at most */

/* How many threads a number asked for means: 0 stands for the processors that are online, and
 * what is more than PARALLEL_THREADS for that. At least 1. */
unsigned parallel_threads(unsigned threads);

/* Does work(0, context) to work(count - 1, context), each once and in any order, and returns when
 * all are done. What a piece finds goes to a place of its own, by its index: then the result is the
 * same for any number of threads.
 *   threads  as in parallel_threads; the calling thread is one of them. When the system gives
 *            fewer, those there are do all of it.
 *   work     may be called by several threads at the same time with different indices: it must
 *            not change what another piece reads or writes, and it must return
 * Signals are left to the calling thread. STATUS_OK; STATUS_INTERNAL when there is no work to call,
 * and nothing was done. */
enum status parallel_run(size_t count, unsigned threads, void (*work)(size_t index, void *context),
                         void *context);

/* One piece of work beside the calling thread. */
struct parallel_task;

/* Starts work(context) in a thread of its own, which signals never reach. The context must live
 * until parallel_join. NULL when the system gives no thread or memory is out: nothing was done. */
struct parallel_task *parallel_start(void (*work)(void *context), void *context);

/* Waits until the work has returned and gives the task back; NULL is allowed. */
void parallel_join(struct parallel_task *task);

#endif
