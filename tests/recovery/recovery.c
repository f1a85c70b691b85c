/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "verdict.h"

/* The recovery study: does the fit find again what was put in, and does it say how well it knows?
 * Minutes; run by make check-long. Options: --repeats N sessions of each protocol (20), --seed N,
 * --protocol NAME for that one alone, --allowed-misses N intervals without the truth. */

#define REPEATS 20
#define USUAL_REPEATS 5

struct options {
	size_t repeats;
	uint64_t seed;
	const char *protocol;
	long allowed_misses;
};

static bool read_options(int count, char **words, struct options *options)
{
	for (int i = 1; i < count; i += 2) {
		if (i + 1 >= count)
			return false;
		if (strcmp(words[i], "--repeats") == 0)
			options->repeats = strtoul(words[i + 1], NULL, 10);
		else if (strcmp(words[i], "--seed") == 0)
			options->seed = strtoull(words[i + 1], NULL, 10);
		else if (strcmp(words[i], "--protocol") == 0)
			options->protocol = words[i + 1];
		else if (strcmp(words[i], "--allowed-misses") == 0)
			options->allowed_misses = strtol(words[i + 1], NULL, 10);
		else
			return false;
	}
	return options->repeats > 0;
}

int main(int count, char **words)
{
	struct options options = {REPEATS, RANDOM_DEFAULT_SEED, NULL, VERDICT_BY_COUNT};
	int failed;

	if (!read_options(count, words, &options)) {
		fprintf(stderr, "usage: recovery [--repeats N] [--seed N] [--protocol NAME] "
		                "[--allowed-misses N]\n");
		return 2;
	}
	if (options.protocol != NULL)
		return verdict_protocol(options.protocol, options.repeats, options.seed,
		                        options.allowed_misses);
	failed = verdict_examples();
	failed |= verdict_protocol("full", options.repeats, options.seed, options.allowed_misses);
	failed |= verdict_protocol("phone", options.repeats, options.seed, options.allowed_misses);
	return failed | verdict_usual(USUAL_REPEATS, options.seed);
}
