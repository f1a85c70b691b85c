/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_PROGRESS_BAR_H
#define RESTPOINT_CLI_PROGRESS_BAR_H

#include <stdbool.h>
#include <stddef.h>

#include "base/progress.h"

/* A bar on standard error while long work runs: only where that is a terminal, only after one
 * second of work, redrawn at most ten times a second, cleared at the end. */
struct progress_bar {
	bool wanted;
	double started, drawn; /* [s] of the monotonic clock */
	size_t columns;        /* of the line that stands there */
};

/* Starts the bar and fills *progress with it and with the flag of signals_flag. Both must stay
 * until progress_bar_clear. */
void progress_bar_start(struct progress_bar *bar, struct progress *progress);

/* Clears the line; safe when nothing was drawn. */
void progress_bar_clear(struct progress_bar *bar);

#endif
