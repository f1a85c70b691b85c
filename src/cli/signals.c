/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/signals.h"

#include <string.h>

/* The one thing a handler may touch. */
static volatile sig_atomic_t caught;

static void note_signal(int signal_number)
{
	if (caught == 0)
		caught = signal_number;
}

/* Lets a write to a closed pipe come back as an error. Not SIG_IGN: that could not be told from a
 * signal that the parent ignores. */
static void pass_signal(int signal_number)
{
	(void)signal_number;
}

static bool ignored(int signal_number)
{
	struct sigaction action;

	return sigaction(signal_number, NULL, &action) == 0 && action.sa_handler == SIG_IGN;
}

void signals_catch(void)
{
	static const int numbers[] = {SIGINT, SIGTERM, SIGHUP};
	struct sigaction action;

	memset(&action, 0, sizeof(action));
	sigemptyset(&action.sa_mask);
	action.sa_handler = note_signal;
	action.sa_flags = SA_RESTART | (int)SA_RESETHAND;
	for (size_t i = 0; i < sizeof(numbers) / sizeof(numbers[0]); i++) {
		if (!ignored(numbers[i]))
			sigaction(numbers[i], &action, NULL);
	}
	if (!ignored(SIGPIPE)) {
		action.sa_handler = pass_signal;
		action.sa_flags = SA_RESTART;
		sigaction(SIGPIPE, &action, NULL);
	}
}

const volatile sig_atomic_t *signals_flag(void)
{
	return &caught;
}

static void end_by(int signal_number)
{
	struct sigaction action;
	sigset_t set;

	memset(&action, 0, sizeof(action));
	sigemptyset(&action.sa_mask);
	action.sa_handler = SIG_DFL;
	sigaction(signal_number, &action, NULL);
	sigemptyset(&set);
	sigaddset(&set, signal_number);
	sigprocmask(SIG_UNBLOCK, &set, NULL);
	raise(signal_number);
}

void signals_end(void)
{
	if (caught != 0)
		end_by((int)caught);
}

void signals_end_by_pipe(void)
{
	if (!ignored(SIGPIPE))
		end_by(SIGPIPE);
}
