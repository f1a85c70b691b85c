/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "careless_study.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <gsl/gsl_cdf.h>

#include "../unit/session_support.h"
#include "design.h"
#include "estimate/fit_problem.h"
#include "workers.h"

#define REGION 0.001 /* chi-square probability outside the 99.9 % region */

struct careless_work {
	const struct careless_wish *wish;
	const struct protocol *protocol;
};

static const struct shot_design *design_of(const struct protocol *protocol, const char *shot)
{
	for (size_t i = 0; i < protocol->shot_count; i++)
		if (strcmp(protocol->shots[i].key, shot) == 0)
			return &protocol->shots[i];
	return NULL;
}

static void spoil_rows(const struct careless_work *work, const struct session *session,
                       const struct constants *constants, const struct simulated_truth *truth,
                       struct random_stream *stream, struct measurement *measurement,
                       struct careless_outcome *outcome)
{
	for (size_t i = 0; i < measurement->row_count; i++) {
		struct stroke_row *row = &measurement->rows[i];

		row->line = i + 2;
		if (random_uniform(stream) >= work->wish->share)
			continue;
		outcome->strokes[i].kind =
		    (unsigned char)careless_spoil(design_of(work->protocol, row->shot), session,
		                                  constants, &truth[i], stream, row);
	}
}

/* Which strokes lie beyond the 99.9 % region of the true model: at the true constants and habits,
 * the best own unknowns, searched from the true ones. */
static enum status find_region(const struct fit_input *input, const struct constants *constants,
                               const struct simulated_truth *truth, struct fault_list *faults,
                               struct careless_outcome *outcome)
{
	struct fit_problem problem;
	enum status status = fit_problem_create(&problem, input, 1, RANDOM_DEFAULT_SEED, faults);

	if (status != STATUS_OK)
		return status;
	for (size_t i = 0; i < problem.stroke_count; i++) {
		struct stroke_case *stroke = &problem.strokes[i];
		size_t row = stroke->row->line - 2;
		struct stroke_point point;

		for (int id = 0; id < CONSTANT_COUNT; id++)
			point.constants[id] =
			    prior_coordinate((enum constant_id)id, constants->value[id]);
		memcpy(point.shared, truth[row].shared, sizeof point.shared);
		memcpy(stroke->trial_own, truth[row].own, sizeof stroke->trial_own);
		outcome->strokes[row].read = true;
		if (stroke_case_settle(stroke, &point))
			stroke_case_search(stroke, &point, RANDOM_DEFAULT_SEED);
		else
			stroke->trial_cost = HUGE_VAL;
		outcome->strokes[row].likelihood =
		    (float)gsl_cdf_chisq_Q(stroke->trial_cost, (double)stroke->readings.count);
		outcome->strokes[row].beyond =
		    (double)outcome->strokes[row].likelihood < REGION;
	}
	fit_problem_free(&problem);
	return STATUS_OK;
}

static void read_fit(const struct fit_result *fit, const struct constants *constants,
                     struct careless_outcome *outcome)
{
	for (size_t i = 0; i < fit->set_aside_count; i++) {
		struct careless_stroke *stroke = &outcome->strokes[fit->set_aside[i].line - 2];

		stroke->aside = true;
		stroke->asks = strchr(fit->set_aside[i].reason, '?') != NULL;
	}
	for (size_t i = 0; i < fit->doubted_count; i++)
		outcome->strokes[fit->doubted[i].line - 2].doubted = true;
	for (size_t i = 0; i < fit->repaired_count; i++)
		outcome->strokes[fit->repaired[i].line - 2].repaired = true;
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct estimate *estimate = &fit->constants[id];
		const struct interval *interval =
		    estimate->has_posterior ? &estimate->posterior : &estimate->best;

		outcome->holds[id] = constants->value[id] >= interval->low95 &&
		                     constants->value[id] <= interval->high95;
	}
}

static void tell_rows(const char *what, const struct set_aside_row *rows, size_t count,
                      const struct careless_outcome *outcome)
{
	for (size_t i = 0; i < count; i++)
		printf("  %s, %s, line %zu, %s: %s\n", what,
		       careless_kind_name((enum careless_kind)outcome->strokes[rows[i].line - 2].kind),
		       rows[i].line, rows[i].shot, rows[i].reason);
}

static void tell(const struct fit_result *fit, const struct measurement *measurement,
                 const struct careless_outcome *outcome)
{
	unsigned held = 0;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		held += outcome->holds[id];
	printf("  session %zu: %u of %d intervals hold the truth\n", outcome->number, held,
	       CONSTANT_COUNT);
	tell_rows("set aside", fit->set_aside, fit->set_aside_count, outcome);
	tell_rows("repaired", fit->repaired, fit->repaired_count, outcome);
	for (size_t i = 0; i < fit->doubted_count; i++)
		printf("  doubted, %s, line %zu, %s: weight %.2f\n",
		       careless_kind_name(
		           (enum careless_kind)outcome->strokes[fit->doubted[i].line - 2].kind),
		       fit->doubted[i].line, fit->doubted[i].shot, fit->doubted[i].weight);
	for (size_t i = 0; i < outcome->count; i++) {
		const struct careless_stroke *stroke = &outcome->strokes[i];

		if (stroke->beyond && !stroke->aside && !stroke->doubted && !stroke->repaired)
			printf("  missed, %s, line %zu, %s: probability %.1e at the truth\n",
			       careless_kind_name((enum careless_kind)stroke->kind), i + 2,
			       measurement->rows[i].shot, (double)stroke->likelihood);
	}
	fflush(stdout);
}

static double processor_seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void fit_session(const struct fit_input *input, const struct constants *constants,
                        const struct simulated_truth *truth, bool telling,
                        struct careless_outcome *outcome)
{
	struct fit_options options = {.seed = RANDOM_DEFAULT_SEED};
	struct fault_list faults;
	struct fit_result fit;
	double start = processor_seconds();

	if (fault_list_create(&faults) != STATUS_OK)
		return;
	outcome->status = fit_run(input, 1, &options, &fit, &faults);
	outcome->seconds = processor_seconds() - start;
	if (outcome->status != STATUS_INPUT && outcome->status != STATUS_SYSTEM) {
		read_fit(&fit, constants, outcome);
		if (find_region(input, constants, truth, &faults, outcome) != STATUS_OK)
			outcome->status = STATUS_SYSTEM;
		if (telling)
			tell(&fit, input->measurement, outcome);
		fit_result_free(&fit);
	}
	session_support_print(&faults);
	fault_list_free(&faults);
}

static void simulate_and_fit(size_t number, void *out, void *context)
{
	const struct careless_work *work = context;
	struct random_stream stream = random_start(work->wish->seed, work->wish->first + number);
	struct simulated_truth *truth = calloc(CARELESS_STROKES, sizeof *truth);
	struct session session = session_default();
	struct constants constants = {.terms = {0.0}};
	struct careless_outcome outcome;
	struct measurement measurement;

	memset(&outcome, 0, sizeof outcome);
	outcome.status = STATUS_SYSTEM;
	outcome.number = work->wish->first + number;
	design_draw_constants(&stream, &constants);
	if (truth != NULL &&
	    simulate_session_truth(work->protocol, &session, &constants, random_bits(&stream), true,
	                           &measurement, truth, CARELESS_STROKES) == STATUS_OK) {
		struct fit_input input = {&measurement, work->protocol};

		outcome.count = measurement.row_count;
		if (outcome.count <= CARELESS_STROKES) {
			spoil_rows(work, &session, &constants, truth, &stream, &measurement,
			           &outcome);
			fit_session(&input, &constants, truth, work->wish->tell, &outcome);
		}
		measurement_free(&measurement);
	}
	free(truth);
	memcpy(out, &outcome, sizeof outcome);
}

bool careless_run(const struct careless_wish *wish, struct careless_outcome *outcomes)
{
	char path[160];
	struct protocol protocol;
	struct careless_work work = {wish, &protocol};
	bool done;

	snprintf(path, sizeof path, "protocols/%.60s.json", wish->protocol);
	session_support_protocol(session_support_path(path), &protocol);
	done = workers_run(wish->sessions, sizeof *outcomes, simulate_and_fit, &work, outcomes);
	protocol_free(&protocol);
	return done;
}
