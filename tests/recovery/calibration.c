/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "calibration_report.h"
#include "calibration_study.h"
#include "calibration_verdict.h"

/* The calibration study: are the intervals as wide as they should be, whatever the table? Options:
 * --protocol NAME for that one alone (all shipped ones), --sessions N of each (40), --first N, the
 * number of the first (0), --seed N, --table FILE, to which the tables are appended, --keep FILE,
 * in which the outcomes are kept and from which those that it holds are taken. Ends with 1, and a
 * line for each, when a bound failed. */

#define SESSIONS 40
#define SESSIONS_MOST 1000000

struct options {
	struct calibration_wish wish; /* protocol NULL: all */
	const char *table;
};

static const char *const shipped[CALIBRATION_PROTOCOLS] = {"usual", "phone", "full"};

/* A whole number of decimal digits. */
static bool read_number(const char *word, unsigned long long *number)
{
	char *end;

	*number = strtoull(word, &end, 10);
	return *word >= '0' && *word <= '9' && *end == '\0';
}

static bool read_option(const char *name, const char *value, struct options *options)
{
	unsigned long long number;

	if (strcmp(name, "--protocol") == 0)
		options->wish.protocol = value;
	else if (strcmp(name, "--table") == 0)
		options->table = value;
	else if (strcmp(name, "--keep") == 0)
		options->wish.keep = value;
	else if (!read_number(value, &number))
		return false;
	else if (strcmp(name, "--sessions") == 0)
		options->wish.sessions = (size_t)number;
	else if (strcmp(name, "--first") == 0)
		options->wish.first = (size_t)number;
	else if (strcmp(name, "--seed") == 0)
		options->wish.seed = number;
	else
		return false;
	return true;
}

static bool read_options(int count, char **words, struct options *options)
{
	for (int i = 1; i < count; i += 2)
		if (i + 1 >= count || !read_option(words[i], words[i + 1], options))
			return false;
	return options->wish.sessions > 0 && options->wish.sessions <= SESSIONS_MOST;
}

/* Returns how many bounds failed. */
static size_t study_protocol(const struct calibration_wish *wish, FILE *table)
{
	struct calibration_outcome *outcomes = calloc(wish->sessions, sizeof *outcomes);
	struct calibration_summary summary;
	size_t failed = 1;

	if (outcomes != NULL && calibration_run(wish, outcomes) &&
	    calibration_summarise(outcomes, wish->sessions, &summary)) {
		calibration_report_print(wish, &summary, stdout);
		if (table != NULL)
			calibration_report_print(wish, &summary, table);
		failed = calibration_verdict(wish->protocol, &summary, stdout);
	} else {
		printf("FAILED %s: a process died, memory is out or a file failed\n",
		       wish->protocol);
	}
	fflush(stdout);
	free(outcomes);
	return failed;
}

static size_t study_all(const struct options *options, FILE *table)
{
	size_t failed = 0;

	if (options->wish.protocol != NULL)
		return study_protocol(&options->wish, table);
	for (int i = 0; i < CALIBRATION_PROTOCOLS; i++) {
		struct calibration_wish wish = options->wish;

		wish.protocol = shipped[i];
		failed += study_protocol(&wish, table);
	}
	return failed;
}

int main(int count, char **words)
{
	struct options options = {{NULL, 0, SESSIONS, RANDOM_DEFAULT_SEED, NULL}, NULL};
	FILE *table = NULL;
	size_t failed;

	if (!read_options(count, words, &options)) {
		fprintf(stderr, "usage: calibration [--protocol NAME] [--sessions N] [--first N] "
		                "[--seed N] [--table FILE] [--keep FILE]\n");
		return 2;
	}
	if (options.table != NULL && (table = fopen(options.table, "a")) == NULL) {
		perror(options.table);
		return 5;
	}
	calibration_report_legend(stdout);
	failed = study_all(&options, table);
	if (table != NULL && fclose(table) != 0) {
		perror(options.table);
		return 5;
	}
	return failed > 0;
}
