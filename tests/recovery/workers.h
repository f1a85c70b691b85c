/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_WORKERS_H
#define RESTPOINT_TESTS_RECOVERY_WORKERS_H

#include <stdbool.h>
#include <stddef.h>

/* One piece of work by its number; fills `outcome`, plain bytes that mean the same in another
 * process. */
typedef void workers_task(size_t number, void *outcome, void *context);

/* Does the pieces 0 to count - 1 in as many processes as there are processors, and puts the
 * outcomes (size bytes each, at most 3000) in their places. False when a process could not be
 * started, died or told too little. */
bool workers_run(size_t count, size_t size, workers_task *task, void *context, void *outcomes);

#endif
