/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_PROGRESS_H
#define RESTPOINT_BASE_PROGRESS_H

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>

/* How long work tells its caller how far it is and learns that it should stop. Either member may
 * be NULL, and a NULL pointer to the whole is allowed everywhere. */
struct progress {
	const volatile sig_atomic_t *stop; /* not 0: end as soon as possible */
	void (*report)(void *context, double fraction, const char *phase); /* fraction in [0, 1] */
	void *context;
};

static inline bool progress_stopped(const struct progress *progress)
{
	return progress != NULL && progress->stop != NULL && *progress->stop != 0;
}

static inline void progress_report(const struct progress *progress, double fraction,
                                   const char *phase)
{
	if (progress != NULL && progress->report != NULL)
		progress->report(progress->context, fraction, phase);
}

#endif
