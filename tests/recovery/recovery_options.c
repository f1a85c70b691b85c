/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "../unit/session_support.h"
#include "base/random.h"
#include "design.h"
#include "estimate/fit.h"
#include "estimate/simulate.h"
#include "options_study.h"
#include "workers.h"

/* The recovery study of what can be fitted besides the constants: sessions simulated with a known
 * slope, fall of liveliness, grip or dead rail, and without, each fitted with its option. The 95 %
 * intervals must hold the truth as often as chance allows, and a large effect must be seen for what
 * it is. Options: --repeats N sessions of each kind (4), --first N number of the first, --seed N,
 * --option NAME for that one alone (some are run only so), --verbose 1 for every interval. */

#define REPEATS 4
#define UNLIKELY 0.002       /* probability of more misses than are allowed, of a good program */
#define STRIDE 100000u       /* between the seeds of the kinds of sessions */

/* A batch of sessions of one kind. */
struct batch {
	const struct study *study;
	const struct protocol *protocol;
	const struct protocol *played; /* the same, as it was really played */
	bool effect;
	uint64_t seed;
	size_t first; /* session */
};

static bool is_among(const char *key, const char *const *keys)
{
	for (; *keys != NULL; keys++)
		if (strcmp(*keys, key) == 0)
			return true;
	return false;
}

/* The shots of a protocol that a study uses, in place. */
static void choose_shots(struct protocol *protocol, const struct study *study)
{
	size_t kept = 0;

	for (size_t i = 0; i < protocol->shot_count; i++) {
		struct shot_design *shot = &protocol->shots[i];
		bool own = is_among(shot->key, study->shots);

		shot->tries *= own ? study->times : 1;
		if (own || is_among(shot->key, option_full_shots))
			protocol->shots[kept++] = *shot;
	}
	protocol->shot_count = kept;
}

/* Two files of the session: one with the reference ball as cue ball, one with another. */
static enum status simulate_pair(const struct batch *batch, const struct constants *truth,
                                 const struct simulated_extras *extras, uint64_t seed,
                                 struct measurement files[2])
{
	struct session session = session_default();
	struct simulated_extras first = *extras;
	enum status status;

	first.grip[BALL_CUE] = 1.0;
	status = simulate_session_with(batch->played, &session, truth, &first, seed, true,
	                               &files[0]);
	if (status != STATUS_OK)
		return status;
	status = simulate_session_with(batch->played, &session, truth, extras, seed + 1, true,
	                               &files[1]);
	if (status != STATUS_OK) {
		measurement_free(&files[0]);
		return status;
	}
	files[0].file = "first.csv";
	files[1].file = "second.csv";
	for (size_t i = 0; i < files[1].row_count; i++)
		files[1].rows[i].ball[BALL_CUE] = "B";
	return STATUS_OK;
}

static void count_missed(const struct fit_result *fit, const struct constants *truth,
                         struct outcome *outcome)
{
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct estimate *estimate = &fit->constants[id];
		const struct interval *interval =
		    estimate->has_posterior ? &estimate->posterior : &estimate->best;

		outcome->missed[id] = !(truth->value[id] >= interval->low95 &&
		                        truth->value[id] <= interval->high95);
		outcome->constants_missed += outcome->missed[id];
	}
}

static void fit_files(const struct batch *batch, const struct measurement *files, size_t count,
                      const struct constants *truth, const struct simulated_extras *extras,
                      struct outcome *outcome)
{
	struct fit_input inputs[2] = {{&files[0], batch->protocol}, {&files[1], batch->protocol}};
	struct fit_options options = {.seed = RANDOM_DEFAULT_SEED, .wants = batch->study->wants};
	struct fault_list faults;
	struct fit_result fit;

	outcome->status = STATUS_SYSTEM;
	if (fault_list_create(&faults) != STATUS_OK)
		return;
	outcome->status = fit_run(inputs, count, &options, &fit, &faults);
	session_support_print(&faults);
	fault_list_free(&faults);
	if (outcome->status == STATUS_INPUT || outcome->status == STATUS_SYSTEM)
		return;
	outcome->p = fit.chi_square_p;
	snprintf(outcome->stop, sizeof outcome->stop, "%s", fit.stop_reason);
	count_missed(&fit, truth, outcome);
	batch->study->take(&fit, truth, extras, outcome);
	fit_result_free(&fit);
}

static void simulate_and_fit(size_t number, void *out, void *context)
{
	const struct batch *batch = context;
	size_t session = batch->first + number;
	struct random_stream stream = random_start(batch->seed, session);
	struct simulated_extras extras = {.grip = {1.0, 1.0, 1.0}};
	struct constants truth = {.terms = {0.0}};
	struct measurement files[2];
	struct outcome outcome;

	memset(&outcome, 0, sizeof outcome);
	outcome.effect = batch->effect;
	snprintf(outcome.label, sizeof outcome.label, "seed %llu session %zu",
	         (unsigned long long)batch->seed, session);
	for (int rail = 0; rail < RAIL_COUNT; rail++)
		extras.rails[rail].grip = 1.0;
	design_draw_constants(&stream, &truth);
	if (batch->effect)
		batch->study->set(&stream, &truth, &extras);
	outcome.status = simulate_pair(batch, &truth, &extras, batch->seed * 1000u + 2 * session,
	                               files);
	if (outcome.status == STATUS_OK) {
		size_t count = batch->study->wants.grips ? 2 : 1;

		fit_files(batch, files, count, &truth, &extras, &outcome);
		measurement_free(&files[0]);
		measurement_free(&files[1]);
	}
	memcpy(out, &outcome, sizeof outcome);
}

static bool holds(const struct number *number)
{
	return number->truth >= number->low95 && number->truth <= number->high95;
}

/* Misses that a program whose intervals hold the truth 19 times in 20 seldom exceeds. */
static size_t allowed_misses(size_t intervals)
{
	unsigned allowed = 0;

	while (gsl_cdf_binomial_Q(allowed, 0.05, (unsigned)intervals) > UNLIKELY)
		allowed++;
	return allowed;
}

static void print_outcome(const struct outcome *outcome)
{
	printf("  %s: %s (%s), p %.3f\n", outcome->label, status_name(outcome->status),
	       outcome->stop, outcome->p);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (outcome->missed[id])
			printf("    %s missed\n", constant_prior((enum constant_id)id)->name);
	for (size_t i = 0; i < outcome->count; i++) {
		const struct number *number = &outcome->numbers[i];

		printf("    %-22s truth %9.5f value %9.5f +- %8.5f interval %9.5f to %9.5f%s%s\n",
		       number->name, number->truth, number->value, number->error, number->low95,
		       number->high95, number->told ? "" : " (not determined)",
		       holds(number) ? "" : " MISSED");
	}
}

/* Whether a number must be seen in these sessions. */
static bool is_large(const struct study *study, const char *name)
{
	return is_among(name, study->large);
}

static int judge(const struct batch *batch, const struct outcome *outcomes, size_t repeats,
                 bool verbose)
{
	size_t intervals = 0, misses = 0, unseen = 0, wanted = 0, constants = 0, failed = 0;
	const char *kind = batch->effect ? "with it" : "without";
	int bad = 0;

	for (size_t k = 0; k < repeats; k++) {
		const struct outcome *outcome = &outcomes[k];

		failed += outcome->status != STATUS_OK;
		constants += outcome->constants_missed;
		if (verbose)
			print_outcome(outcome);
		for (size_t i = 0; i < outcome->count; i++) {
			const struct number *number = &outcome->numbers[i];
			bool none = number->low95 <= 0.0 && number->high95 >= 0.0;

			intervals++;
			misses += !holds(number);
			if (batch->effect && is_large(batch->study, number->name)) {
				wanted++;
				unseen += none;
			}
		}
	}
	printf("%s, %s: %zu of %zu intervals without the truth (allowed %zu), %zu of %zu large "
	       "effects not seen, %zu of %zu constants missed, %zu fits failed\n",
	       batch->study->name, kind, misses, intervals, allowed_misses(intervals), unseen,
	       wanted, constants, CONSTANT_COUNT * repeats, failed);
	bad |= intervals == 0 || misses > allowed_misses(intervals);
	bad |= constants > allowed_misses(CONSTANT_COUNT * repeats);
	bad |= failed > 0;
	/* Where the effect is several standard errors, nine of ten sessions must see it. */
	bad |= 10 * unseen > wanted;
	if (bad)
		printf("FAILED %s, %s\n", batch->study->name, kind);
	return bad;
}

/* What the command line asks for. */
struct wish {
	size_t repeats, first;
	uint64_t seed;
	const char *option;
	bool verbose;
};

static int run_study(const struct study *study, const struct wish *wish)
{
	size_t repeats = wish->repeats;
	struct outcome *outcomes = calloc(repeats + 1, sizeof *outcomes);
	struct protocol protocol, played;
	int failed = 0;

	session_support_protocol(session_support_path("tests/recovery/options.json"), &protocol);
	choose_shots(&protocol, study);
	session_support_protocol(session_support_path("tests/recovery/options.json"), &played);
	choose_shots(&played, study);
	for (int effect = 1; effect >= 0; effect--) {
		struct batch batch = {study,       &protocol,
		                      &played,     effect == 1,
		                      wish->seed + (effect == 1 ? 0 : STRIDE), wish->first};

		for (size_t i = 0; study->wants.player && i < played.shot_count; i++)
			played.shots[i].launch.speed_spread =
			    effect == 1 ? OPTIONS_STEADY : protocol.shots[i].launch.speed_spread;
		if (outcomes == NULL || !workers_run(repeats, sizeof *outcomes, simulate_and_fit,
		                                     &batch, outcomes)) {
			printf("FAILED %s: a process died\n", study->name);
			failed = 1;
			break;
		}
		failed |= judge(&batch, outcomes, repeats, wish->verbose);
		fflush(stdout);
	}
	protocol_free(&protocol);
	protocol_free(&played);
	free(outcomes);
	return failed;
}

int main(int count, char **words)
{
	struct wish wish = {.repeats = REPEATS, .seed = RANDOM_DEFAULT_SEED};
	int failed = 0, ran = 0;

	for (int i = 1; i + 1 < count; i += 2) {
		if (strcmp(words[i], "--repeats") == 0)
			wish.repeats = strtoul(words[i + 1], NULL, 10);
		else if (strcmp(words[i], "--first") == 0)
			wish.first = strtoul(words[i + 1], NULL, 10);
		else if (strcmp(words[i], "--seed") == 0)
			wish.seed = strtoull(words[i + 1], NULL, 10);
		else if (strcmp(words[i], "--option") == 0)
			wish.option = words[i + 1];
		else if (strcmp(words[i], "--verbose") == 0)
			wish.verbose = true;
	}
	for (size_t i = 0; i < option_study_count; i++)
		if (wish.option == NULL ? !option_studies[i].by_name
		                        : strcmp(wish.option, option_studies[i].name) == 0) {
			failed |= run_study(&option_studies[i], &wish);
			ran++;
		}
	return ran == 0 || failed;
}
