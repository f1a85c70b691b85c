/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "../unit/session_support.h"
#include "base/random.h"
#include "estimate/fit.h"
#include "estimate/simulate.h"

/* How the cost of a fit grows with the number of strokes: sessions of about 20, 200, 2,000 and 20,000
 * strokes of the protocol full by one player, each fitted in a process of its own. Tells processor
 * time and time on the wall, by how much the first grows for ten times the strokes, and the memory at
 * the peak for each stroke beyond those of the smallest session. SCALE_MOST, in the environment, is
 * the largest number of strokes (20000, which takes a quarter of an hour). Prints; asserts nothing. */

#define SIZES 4
#define SEED 3 /* of the sessions */

static const double sizes[SIZES] = {20.0, 200.0, 2000.0, 20000.0};

/* What one fit took. */
struct cost {
	size_t strokes;
	double processor, wall; /* [s] */
	double memory;          /* at the peak [kB] */
	bool answered;
};

static double wall_seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* The protocol with about so many strokes, every shot in its share. */
static size_t set_tries(struct protocol *protocol, double strokes)
{
	double all = 0.0;
	size_t count = 0;

	for (size_t i = 0; i < protocol->shot_count; i++)
		all += (double)protocol->shots[i].tries;
	for (size_t i = 0; i < protocol->shot_count; i++) {
		struct shot_design *shot = &protocol->shots[i];

		shot->tries = (int)fmax(1.0, rint((double)shot->tries * strokes / all));
		count += (size_t)shot->tries;
	}
	return count;
}

static bool fit_once(const struct protocol *protocol)
{
	struct session session = session_default();
	struct constants constants = constants_centre();
	struct fit_options options = {.seed = RANDOM_DEFAULT_SEED};
	struct measurement measurement;
	struct fit_input input = {&measurement, protocol};
	struct fault_list faults;
	struct fit_result fit;
	enum status status;

	if (simulate_session(protocol, &session, &constants, SEED, true, &measurement) != STATUS_OK ||
	    fault_list_create(&faults) != STATUS_OK)
		return false;
	status = fit_run(&input, 1, &options, &fit, &faults);
	if (status != STATUS_INPUT && status != STATUS_SYSTEM)
		fit_result_free(&fit);
	fault_list_free(&faults);
	measurement_free(&measurement);
	return status == STATUS_OK;
}

/* In a process of its own, whose peak of memory is that of this fit alone. */
static bool measure(double strokes, struct cost *cost)
{
	struct protocol protocol;
	struct rusage usage;
	double start;
	int ended = 0;
	pid_t child;

	session_support_protocol(session_support_path("protocols/full.json"), &protocol);
	cost->strokes = set_tries(&protocol, strokes);
	start = wall_seconds();
	fflush(stdout);
	child = fork();
	if (child == 0)
		_exit(fit_once(&protocol) ? 0 : 1);
	protocol_free(&protocol);
	if (child < 0 || wait4(child, &ended, 0, &usage) != child)
		return false;
	cost->wall = wall_seconds() - start;
	cost->processor = (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
	                  1e-6 * (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec);
	cost->memory = (double)usage.ru_maxrss;
	cost->answered = WIFEXITED(ended) && WEXITSTATUS(ended) == 0;
	return true;
}

int main(void)
{
	const char *wanted = getenv("SCALE_MOST");
	double most = wanted != NULL ? strtod(wanted, NULL) : sizes[SIZES - 1];
	struct cost costs[SIZES];

	printf("strokes  processor s  wall s  for ten times as many  kB at the peak  kB a stroke more\n");
	for (size_t k = 0; k < SIZES && sizes[k] <= most; k++) {
		struct cost *now = &costs[k], *before = &costs[k == 0 ? 0 : k - 1];

		if (!measure(sizes[k], now)) {
			fprintf(stderr, "scale: a process could not be started\n");
			return 1;
		}
		printf("%7zu  %11.2f  %6.2f", now->strokes, now->processor, now->wall);
		if (k > 0) {
			double tens = log10((double)now->strokes / (double)before->strokes);

			printf("  %21.1f  %14.0f  %16.1f",
			       pow(now->processor / before->processor, 1.0 / tens), now->memory,
			       (now->memory - costs[0].memory) /
			           (double)(now->strokes - costs[0].strokes));
		} else {
			printf("  %21s  %14.0f  %16s", "", now->memory, "");
		}
		printf("%s\n", now->answered ? "" : "  (no answer)");
		fflush(stdout);
	}
	return 0;
}
