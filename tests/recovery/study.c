/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "../unit/session_support.h"
#include "design.h"
#include "estimate/fit.h"
#include "estimate/simulate.h"
#include "workers.h"

static double processor_seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void fill_constant(const struct fit_result *fit, enum constant_id id,
                          struct study_outcome *outcome)
{
	const struct estimate *estimate = &fit->constants[id];
	const struct interval *interval =
	    estimate->has_posterior ? &estimate->posterior : &estimate->best;

	outcome->state[id] = estimate->state;
	outcome->low95[id] = interval->low95;
	outcome->high95[id] = interval->high95;
	outcome->relative[id] = interval->standard_error / interval->value;
	outcome->z[id] = (fit->centre[id] - constant_to_scale(id, outcome->truth[id])) /
	                 sqrt(fit->covariance[id][id]);
}

static void fit_session(const struct protocol *protocol, const struct measurement *measurement,
                        const struct constants *truth, struct study_outcome *outcome)
{
	struct fit_input input = {measurement, protocol};
	struct fit_options options = {.seed = RANDOM_DEFAULT_SEED};
	struct fault_list faults;
	struct fit_result fit;
	double start = processor_seconds();

	outcome->status = STATUS_SYSTEM;
	memcpy(outcome->truth, truth->value, sizeof outcome->truth);
	if (fault_list_create(&faults) != STATUS_OK)
		return;
	outcome->status = fit_run(&input, 1, &options, &fit, &faults);
	outcome->seconds = processor_seconds() - start;
	if (outcome->status == STATUS_INPUT)
		session_support_print(&faults);
	fault_list_free(&faults);
	if (outcome->status == STATUS_INPUT || outcome->status == STATUS_SYSTEM)
		return;
	outcome->p = fit.chi_square_p;
	outcome->scaled = fit.scaled;
	outcome->set_aside = fit.set_aside_count;
	for (int id = 0; id < CONSTANT_COUNT; id++)
		fill_constant(&fit, (enum constant_id)id, outcome);
	fit_result_free(&fit);
}

struct simulated {
	const struct study_wish *wish;
	const struct protocol *protocol;
};

static void simulate_and_fit(size_t number, void *out, void *context)
{
	const struct simulated *simulated = context;
	const struct study_wish *wish = simulated->wish;
	struct random_stream stream = random_start(wish->seed, number);
	struct session session = session_default();
	struct study_outcome outcome;
	struct measurement measurement;
	struct constants truth = {.terms = {0.0}};

	memset(&outcome, 0, sizeof outcome);
	design_draw_constants(&stream, &truth);
	snprintf(outcome.label, sizeof outcome.label, "--seed %llu session %zu",
	         (unsigned long long)wish->seed, number);
	outcome.status = simulate_session(simulated->protocol, &session, &truth,
	                                  wish->seed * 1000u + number, true, &measurement);
	if (outcome.status == STATUS_OK) {
		fit_session(simulated->protocol, &measurement, &truth, &outcome);
		measurement_free(&measurement);
	}
	memcpy(out, &outcome, sizeof outcome);
}

bool study_simulated(const struct study_wish *wish, struct study_outcome *outcomes)
{
	char path[160];
	struct protocol protocol;
	struct simulated simulated = {wish, &protocol};
	bool done;

	snprintf(path, sizeof path, "protocols/%s.json", wish->protocol);
	session_support_protocol(session_support_path(path), &protocol);
	for (size_t i = 0; i < protocol.shot_count; i++)
		protocol.shots[i].tries *= wish->times;
	done = workers_run(wish->repeats, sizeof *outcomes, simulate_and_fit, &simulated, outcomes);
	protocol_free(&protocol);
	return done;
}

static const char *const example_names[STUDY_EXAMPLES] = {"example-watch-1", "example-watch-2",
                                                          "example-sound-1", "example-sound-2"};

static void fit_example(size_t number, void *out, void *context)
{
	const char *name = example_names[number];
	struct measurement measurement;
	struct study_outcome outcome;
	struct protocol protocol;
	struct constants truth = {.terms = {0.0}};
	char path[160];

	(void)context;
	memset(&outcome, 0, sizeof outcome);
	snprintf(outcome.label, sizeof outcome.label, "%s", name);
	snprintf(path, sizeof path, "tests/reference/sessions/%.13s.json", name);
	session_support_protocol(session_support_path(path), &protocol);
	snprintf(path, sizeof path, "tests/reference/sessions/%s.csv", name);
	session_support_measurement(session_support_path(path), &protocol, &measurement);
	snprintf(path, sizeof path, "tests/reference/sessions/%s-constants.json", name);
	session_support_constants(session_support_path(path), &truth);
	fit_session(&protocol, &measurement, &truth, &outcome);
	measurement_free(&measurement);
	protocol_free(&protocol);
	memcpy(out, &outcome, sizeof outcome);
}

bool study_examples(struct study_outcome outcomes[STUDY_EXAMPLES])
{
	return workers_run(STUDY_EXAMPLES, sizeof *outcomes, fit_example, NULL, outcomes);
}
