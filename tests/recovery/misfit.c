/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#include "misfit_keep.h"
#include "misfit_report.h"

/* The study of models that are not ours: what a table does that the fit does not know, whether the
 * lack-of-fit test sees it, and what it does to the constants when not. Options: --protocol NAME or
 * FILE.json for that one alone (usual; then one session of phone with liveliness-fall), --with SHOTS,
 * keys of misfit_shots.json by ",", to play besides, --case NAME for that omission alone, --sessions N
 * of each (2), --first N, the number of the first (0), --seed N, --keep FILE, in which outcomes are
 * kept and from which those that it holds are taken, --foresee yes for linear theory alone. Sessions
 * are played in the order of their numbers, all cases of each. Ends with 1, and a line for each, when
 * a bound failed. */

#define SESSIONS 2
#define SESSIONS_MOST 10000
#define SEED 7310u

struct options {
	const char *protocol; /* NULL: all */
	const char *with;
	bool one;
	enum misfit_case number; /* where one */
	size_t first, sessions;
	uint64_t seed;
	const char *keep;
	bool only_foresee;
};

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
		options->protocol = value;
	else if (strcmp(name, "--with") == 0)
		options->with = value;
	else if (strcmp(name, "--keep") == 0)
		options->keep = value;
	else if (strcmp(name, "--foresee") == 0)
		options->only_foresee = strcmp(value, "yes") == 0;
	else if (strcmp(name, "--case") == 0)
		return options->one = misfit_case_from_name(value, &options->number);
	else if (!read_number(value, &number))
		return false;
	else if (strcmp(name, "--sessions") == 0)
		options->sessions = (size_t)number;
	else if (strcmp(name, "--first") == 0)
		options->first = (size_t)number;
	else if (strcmp(name, "--seed") == 0)
		options->seed = number;
	else
		return false;
	return true;
}

/* The outcomes of a protocol: MISFIT_CASES rows of options->sessions. */
static bool run_session(const struct options *options, const struct misfit_wish *wish,
                        struct misfit_outcome *outcome)
{
	if (options->keep != NULL && misfit_keep_find(options->keep, wish, outcome))
		return true;
	if (!misfit_run(wish, outcome)) {
		printf("FAILED %s, %s, session %zu: not simulated\n", wish->protocol,
		       misfit_rule(wish->number)->name, wish->session);
		return false;
	}
	if (options->only_foresee) {
		outcome->answered = 1.0; /* by linear theory, which has no test */
		outcome->p = (double)NAN;
	}
	return options->keep == NULL || options->only_foresee ||
	       misfit_keep_append(options->keep, wish, outcome);
}

static bool run_all(const struct options *options, const char *protocol,
                    struct misfit_outcome *outcomes)
{
	bool well = true;

	for (size_t s = 0; s < options->sessions && well; s++)
		for (int i = 0; i < MISFIT_CASES && well; i++) {
			struct misfit_wish wish = {
			    protocol,      options->with,      (enum misfit_case)i,
			    options->seed, options->first + s, options->only_foresee};

			if (options->one && i != (int)options->number && i != MISFIT_NONE)
				continue;
			well = run_session(options, &wish,
			                   &outcomes[(size_t)i * options->sessions + s]);
		}
	return well;
}

static size_t report(const struct options *options, const char *protocol,
                     const struct misfit_outcome *outcomes)
{
	struct misfit_cell none = {.protocol = protocol, .number = MISFIT_NONE};
	size_t failed = 0;

	misfit_cell_fill(outcomes, options->sessions, NULL, &none);
	for (int i = 0; i < MISFIT_CASES; i++) {
		struct misfit_cell cell = {.protocol = protocol, .number = (enum misfit_case)i};

		if (options->one && i != (int)options->number && i != MISFIT_NONE)
			continue;
		misfit_cell_fill(outcomes + (size_t)i * options->sessions, options->sessions,
		                 i == MISFIT_NONE ? NULL : &none, &cell);
		misfit_report_print(&cell, stdout);
		if (!options->only_foresee)
			failed += misfit_verdict(&cell, stdout);
	}
	return failed;
}

static size_t study(const struct options *options, const char *protocol)
{
	struct misfit_outcome *outcomes =
	    calloc(MISFIT_CASES * options->sessions, sizeof *outcomes);
	size_t failed = 1;

	if (outcomes != NULL && run_all(options, protocol, outcomes))
		failed = report(options, protocol, outcomes);
	fflush(stdout);
	free(outcomes);
	return failed;
}

int main(int count, char **words)
{
	struct options options = {.with = "", .sessions = SESSIONS, .seed = SEED};
	size_t failed = 0;

	for (int i = 1; i < count; i += 2)
		if (i + 1 >= count || !read_option(words[i], words[i + 1], &options))
			options.sessions = 0;
	if (options.sessions == 0 || options.sessions > SESSIONS_MOST) {
		fprintf(stderr,
		        "usage: misfit [--protocol NAME] [--with SHOTS] [--case NAME] "
		        "[--sessions N] [--first N] [--seed N] [--keep FILE] [--foresee yes]\n");
		return 2;
	}
	gsl_set_error_handler_off(); /* as fit_run does */
	misfit_report_legend(stdout);
	if (options.protocol != NULL)
		return study(&options, options.protocol) > 0;
	/* What a minute allows. */
	failed += study(&options, "usual");
	options.sessions = 1;
	options.one = true;
	options.number = MISFIT_LIVELINESS_FALL;
	failed += study(&options, "phone");
	return failed > 0;
}
