/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "misfit_study.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "../unit/session_support.h"
#include "base/random.h"
#include "design.h"
#include "estimate/fit.h"
#include "misfit_foresee.h"

_Static_assert(sizeof(struct misfit_outcome) % sizeof(double) == 0, "numbers alone");

static double processor_seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void read_constant(const struct fit_result *fit, enum constant_id id, double truth,
                          struct misfit_constant *out)
{
	const struct estimate *estimate = &fit->constants[id];
	const struct interval *interval =
	    estimate->has_posterior ? &estimate->posterior : &estimate->best;
	struct interval wide;

	out->z = (fit->centre[id] - constant_to_scale(id, truth)) / sqrt(fit->covariance[id][id]);
	out->relative = interval->standard_error / interval->value;
	out->holds = truth >= interval->low95 && truth <= interval->high95;
	out->named = omissions_widen(fit->omissions, fit->omission_count, id, interval, &wide);
	out->widened = truth >= wide.low95 && truth <= wide.high95;
	out->known = estimate->state != KNOWLEDGE_NOT_DETERMINED;
}

static void read_fit(const struct fit_result *fit, const struct constants *truth,
                     struct misfit_outcome *outcome)
{
	outcome->answered = fit->draw_count > 0;
	outcome->set_aside = (double)fit->set_aside_count;
	outcome->doubted = (double)fit->doubted_count;
	outcome->chi_square = fit->chi_square;
	outcome->freedom = fit->degrees_of_freedom;
	outcome->chi_square_p = fit->chi_square_p;
	outcome->scaled = fit->scaled;
	outcome->within = fit->lack_of_fit.within;
	outcome->within_freedom = fit->lack_of_fit.within_freedom;
	outcome->between = fit->lack_of_fit.between;
	outcome->between_freedom = fit->lack_of_fit.between_freedom;
	outcome->p = fit->lack_of_fit_p;
	for (int id = 0; id < CONSTANT_COUNT; id++)
		read_constant(fit, (enum constant_id)id, truth->value[id], &outcome->constants[id]);
}

static bool fit_session(const struct protocol *protocol, const struct measurement *measurement,
                        const struct constants *truth, struct misfit_outcome *outcome)
{
	struct fit_input input = {measurement, protocol};
	struct fit_options options = {.seed = RANDOM_DEFAULT_SEED};
	struct fault_list faults;
	struct fit_result fit;
	double start = processor_seconds();
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return false;
	status = fit_run(&input, 1, &options, &fit, &faults);
	outcome->seconds = processor_seconds() - start;
	session_support_print(&faults);
	fault_list_free(&faults);
	if (status == STATUS_SYSTEM)
		return false;
	if (status != STATUS_INPUT) {
		read_fit(&fit, truth, outcome);
		fit_result_free(&fit);
	}
	return true;
}

static bool is_omission(enum misfit_case number)
{
	return number != MISFIT_NONE && number != MISFIT_STEADY;
}

static void read_foreseen(const struct misfit_foreseen *foreseen, struct misfit_outcome *outcome)
{
	outcome->noncentrality = foreseen->split.between;
	outcome->power = lack_of_fit_power(&foreseen->split, foreseen->split.between, MISFIT_LEVEL);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		outcome->constants[id].foreseen = foreseen->bias[id];
}

static bool run(const struct misfit_wish *wish, const struct protocol *protocol,
                struct misfit_outcome *outcome)
{
	struct random_stream stream = random_start(wish->seed, wish->session);
	struct constants truth = {.terms = {0.0}};
	struct misfit_foreseen foreseen;
	struct measurement measurement;
	uint64_t seed;
	bool well = true;

	design_draw_constants(&stream, &truth);
	seed = random_bits(&stream);
	if (is_omission(wish->number)) {
		if (!misfit_foresee(protocol, wish->number, &truth, seed, &foreseen))
			return false;
		read_foreseen(&foreseen, outcome);
	}
	if (wish->only_foresee)
		return true;
	if (misfit_simulate(protocol, wish->number, &truth, seed, &measurement) != STATUS_OK)
		return false;
	well = fit_session(protocol, &measurement, &truth, outcome);
	measurement_free(&measurement);
	return well;
}

static void read_protocol(const char *name, struct protocol *protocol)
{
	char path[160];

	if (strstr(name, ".json") != NULL) {
		session_support_protocol(name, protocol);
		return;
	}
	snprintf(path, sizeof path, "protocols/%.60s.json", name);
	session_support_protocol(session_support_path(path), protocol);
}

static bool is_named(const char *names, const char *key)
{
	size_t length = strlen(key);

	for (const char *at = names; *at != '\0';) {
		size_t word = strcspn(at, ",");

		if (word == length && strncmp(at, key, length) == 0)
			return true;
		at += word + (at[word] == ',');
	}
	return false;
}

/* Plays more shots after those of the protocol: *all has both, with strings of both. */
static bool add_shots(const struct protocol *protocol, const struct protocol *more,
                      const char *names, struct protocol *all)
{
	*all = *protocol;
	all->shots = calloc(protocol->shot_count + more->shot_count, sizeof *all->shots);
	if (all->shots == NULL)
		return false;
	memcpy(all->shots, protocol->shots, protocol->shot_count * sizeof *all->shots);
	for (size_t i = 0; i < more->shot_count; i++)
		if (is_named(names, more->shots[i].key))
			all->shots[all->shot_count++] = more->shots[i];
	return true;
}

bool misfit_run(const struct misfit_wish *wish, struct misfit_outcome *outcome)
{
	struct protocol protocol, more, all;
	bool well;

	read_protocol(wish->protocol, &protocol);
	session_support_protocol(session_support_path("tests/recovery/misfit_shots.json"), &more);
	memset(outcome, 0, sizeof *outcome);
	well = add_shots(&protocol, &more, wish->with, &all);
	if (well) {
		well = run(wish, &all, outcome);
		free(all.shots);
	}
	protocol_free(&more);
	protocol_free(&protocol);
	return well;
}
