/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "careless_study.h"

/* The study of careless shots: are spoiled strokes found, and are good ones left alone? Options:
 * --protocol NAME for that one alone (full and phone), --sessions N of each (6), --first N, the
 * number of the first (0), --seed N, --share X of the strokes to be spoiled (0.1), --tell what
 * became of single strokes. Ends with 1, and a line for each, when a bound failed. */

#define SESSIONS 6
#define SHARE 0.1          /* of strokes that are spoiled */
#define CAUGHT 0.95        /* of the spoiled ones beyond the 99.9 % region, at least */
#define GOOD_ASIDE 0.03    /* of the good ones, at most */
#define HELD 0.95          /* of the intervals, at least */
#define SIGNIFICANT 0.01   /* a count less likely than this under its bound fails */

/* Counts of the strokes of one kind. */
struct tally {
	unsigned played, beyond, aside, doubted, repaired, asks, caught;
};

static void count_stroke(const struct careless_stroke *stroke, struct tally *tally)
{
	bool found = stroke->aside || stroke->doubted || stroke->repaired;

	if (!stroke->read)
		return;
	tally->played++;
	tally->beyond += stroke->beyond;
	tally->aside += stroke->aside;
	tally->doubted += stroke->doubted;
	tally->repaired += stroke->repaired;
	tally->asks += stroke->asks;
	tally->caught += stroke->beyond && found;
}

static void print_tallies(const struct tally *tallies)
{
	printf("%-24s%8s%8s%8s%8s%8s%8s%8s\n", "strokes", "played", "beyond", "found", "aside",
	       "asks", "doubted", "repaired");
	for (int kind = 0; kind < CARELESS_KINDS; kind++)
		printf("%-24s%8u%8u%8u%8u%8u%8u%8u\n", careless_kind_name((enum careless_kind)kind),
		       tallies[kind].played, tallies[kind].beyond, tallies[kind].caught,
		       tallies[kind].aside, tallies[kind].asks, tallies[kind].doubted,
		       tallies[kind].repaired);
}

static size_t verdict(const char *protocol, const struct tally *tallies, unsigned held,
                      unsigned intervals, unsigned failed)
{
	const struct tally *good = &tallies[CARELESS_NOT];
	unsigned beyond = 0, caught = 0, spared = good->aside + good->doubted + good->repaired;
	size_t faults = 0;

	for (int kind = CARELESS_NOT + 1; kind < CARELESS_KINDS; kind++) {
		beyond += tallies[kind].beyond;
		caught += tallies[kind].caught;
	}
	printf("spoiled beyond the region: %u of %u found; good strokes not fully used: %u of %u; "
	       "intervals that hold the truth: %u of %u\n",
	       caught, beyond, spared, good->played, held, intervals);
	if (beyond > 0 && gsl_cdf_binomial_P(caught, CAUGHT, beyond) < SIGNIFICANT)
		faults += printf("FAILED %s: too few spoiled strokes found\n", protocol) > 0;
	if (spared > 0 && gsl_cdf_binomial_Q(spared - 1, GOOD_ASIDE, good->played) < SIGNIFICANT)
		faults += printf("FAILED %s: too many good strokes lost\n", protocol) > 0;
	if (gsl_cdf_binomial_P(held, HELD, intervals) < SIGNIFICANT)
		faults += printf("FAILED %s: too few intervals hold the truth\n", protocol) > 0;
	if (failed > 0)
		faults += printf("FAILED %s: %u fits did not end well\n", protocol, failed) > 0;
	return faults;
}

static size_t report(const struct careless_wish *wish, const struct careless_outcome *outcomes)
{
	struct tally tallies[CARELESS_KINDS] = {{0}};
	unsigned held = 0, failed = 0;
	double seconds = 0.0;

	for (size_t i = 0; i < wish->sessions; i++) {
		seconds += outcomes[i].seconds / (double)wish->sessions;
		failed += outcomes[i].status != STATUS_OK;
		for (size_t k = 0; k < outcomes[i].count; k++)
			count_stroke(&outcomes[i].strokes[k],
			             &tallies[outcomes[i].strokes[k].kind]);
		for (int id = 0; id < CONSTANT_COUNT; id++)
			held += outcomes[i].holds[id];
	}
	printf("%s: %zu sessions, seed %llu, %.1f s a fit\n", wish->protocol, wish->sessions,
	       (unsigned long long)wish->seed, seconds);
	print_tallies(tallies);
	return verdict(wish->protocol, tallies, held,
	               (unsigned)(wish->sessions * CONSTANT_COUNT), failed);
}

static size_t study_protocol(struct careless_wish wish)
{
	struct careless_outcome *outcomes = calloc(wish.sessions, sizeof *outcomes);
	size_t failed = 1;

	if (outcomes != NULL && careless_run(&wish, outcomes))
		failed = report(&wish, outcomes);
	else
		printf("FAILED %s: a process died or memory is out\n", wish.protocol);
	fflush(stdout);
	free(outcomes);
	return failed;
}

static bool read_option(const char *name, const char *value, struct careless_wish *wish)
{
	if (strcmp(name, "--sessions") == 0)
		wish->sessions = strtoul(value, NULL, 10);
	else if (strcmp(name, "--first") == 0)
		wish->first = strtoul(value, NULL, 10);
	else if (strcmp(name, "--seed") == 0)
		wish->seed = strtoull(value, NULL, 10);
	else if (strcmp(name, "--share") == 0)
		wish->share = strtod(value, NULL);
	else if (strcmp(name, "--protocol") == 0)
		wish->protocol = value;
	else
		return false;
	return true;
}

static bool read_options(int count, char **words, struct careless_wish *wish)
{
	for (int i = 1; i < count; i++) {
		if (strcmp(words[i], "--tell") == 0)
			wish->tell = true;
		else if (i + 1 >= count || !read_option(words[i], words[i + 1], wish))
			return false;
		else
			i++;
	}
	return wish->sessions > 0;
}

int main(int count, char **words)
{
	struct careless_wish wish = {NULL, 0, SESSIONS, RANDOM_DEFAULT_SEED, SHARE, false};
	size_t failed;

	if (!read_options(count, words, &wish)) {
		fprintf(stderr, "usage: careless [--protocol NAME] [--sessions N] [--first N] "
		                "[--seed N] [--share X] [--tell]\n");
		return 2;
	}
	if (wish.protocol != NULL)
		return study_protocol(wish) > 0;
	wish.protocol = "full";
	failed = study_protocol(wish);
	wish.protocol = "phone";
	failed += study_protocol(wish);
	return failed > 0;
}
