/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_SIGNALS_H
#define RESTPOINT_CLI_SIGNALS_H

#include <signal.h>
#include <stdbool.h>

/* Ctrl-C and its like. The handler only sets a flag, which the work polls; a second one of the same
 * kind ends the program at once. A signal that the parent ignores stays ignored. */

/* Catches SIGINT, SIGTERM and SIGHUP; lets SIGPIPE pass, so that a reader that went away shows as
 * a write that failed. Call once, first. */
void signals_catch(void);

/* The flag: 0, or the number of the first signal caught. */
const volatile sig_atomic_t *signals_flag(void);

/* At the very end: after a caught signal restores its default action and raises it, so that the
 * shell sees the true cause (130 for Ctrl-C). Returns when none was caught. */
void signals_end(void);

/* Ends as SIGPIPE would have, unless the parent ignores that signal; then returns. */
void signals_end_by_pipe(void);

#endif
