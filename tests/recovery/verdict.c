/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "verdict.h"

#include <stdio.h>
#include <stdlib.h>

#include "study.h"

#define USUAL_TIMES 6
#define EXAMPLE_MISSES 3

static int fail(const char *study, const char *what, size_t found, size_t allowed)
{
	if (found <= allowed)
		return 0;
	printf("FAILED %s: %zu %s, %zu allowed\n", study, found, what, allowed);
	return 1;
}

int verdict_examples(void)
{
	struct study_outcome outcomes[STUDY_EXAMPLES];
	int failed;

	if (!study_examples(outcomes)) {
		printf("FAILED examples: a process died\n");
		return 1;
	}
	study_print("examples", outcomes, STUDY_EXAMPLES);
	failed = fail("examples", "intervals without the truth",
	              study_misses(outcomes, STUDY_EXAMPLES), EXAMPLE_MISSES);
	return failed | fail("examples", "fits that did not end well",
	                     study_failed(outcomes, STUDY_EXAMPLES), 0);
}

int verdict_protocol(const char *protocol, size_t repeats, uint64_t seed, long allowed_misses)
{
	struct study_wish wish = {protocol, 1, repeats, seed};
	struct study_outcome *outcomes = calloc(repeats + 1, sizeof *outcomes);
	size_t allowed =
	    allowed_misses >= 0 ? (size_t)allowed_misses : CONSTANT_COUNT * repeats / 10;
	int failed = 1;

	if (outcomes != NULL && study_simulated(&wish, outcomes)) {
		study_print(protocol, outcomes, repeats);
		failed = fail(protocol, "intervals without the truth",
		              study_misses(outcomes, repeats), allowed);
		failed |= fail(protocol, "unlikely chi-squares", study_unlikely(outcomes, repeats),
		               (repeats + 19) / 20);
		failed |= fail(protocol, "fits that did not end well",
		               study_failed(outcomes, repeats), 0);
	} else {
		printf("FAILED %s: a session could not be simulated or a process died\n", protocol);
	}
	free(outcomes);
	return failed;
}

int verdict_usual(size_t repeats, uint64_t seed)
{
	struct study_wish wish = {"usual", USUAL_TIMES, repeats, seed};
	struct study_outcome *outcomes = calloc(repeats + 1, sizeof *outcomes);
	int failed = 1;

	if (outcomes != NULL && study_simulated(&wish, outcomes)) {
		study_print("usual, six times the tries", outcomes, repeats);
		failed = fail("usual", "sessions that call a cloth friction known",
		              study_cloth_claimed(outcomes, repeats), 0);
	} else {
		printf("FAILED usual: a session could not be simulated or a process died\n");
	}
	free(outcomes);
	return failed;
}
