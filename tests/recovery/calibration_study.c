/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calibration_study.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "../unit/session_support.h"
#include "calibration_draw.h"
#include "calibration_false_end.h"
#include "calibration_keep.h"
#include "design.h"
#include "estimate/simulate.h"
#include "workers.h"

#define BATCH 30 /* sessions after which their outcomes are kept */

struct calibration_work {
	const struct calibration_wish *wish;
	const struct protocol *protocol;
	const size_t *numbers; /* of the sessions of this batch, from wish->first */
};

bool calibration_holds(const struct calibration_constant *constant, double probability)
{
	return fabs(constant->place - 0.5) <= 0.5 * probability;
}

/* Mean and standard deviation of the draws of one constant, in two passes. */
static void draw_moments(const struct fit_result *fit, enum constant_id id, double *mean,
                         double *deviation)
{
	double count = (double)fit->draw_count, sum = 0.0, squares = 0.0;

	for (size_t i = 0; i < fit->draw_count; i++)
		sum += fit->draws[i][id];
	*mean = sum / count;
	for (size_t i = 0; i < fit->draw_count; i++)
		squares += (fit->draws[i][id] - *mean) * (fit->draws[i][id] - *mean);
	*deviation = sqrt(squares / (count - 1.0));
}

/* The uniform part makes the place exactly uniform for any number of draws. */
static double place_among(const struct fit_result *fit, enum constant_id id, double scaled,
                          struct random_stream *stream)
{
	size_t below = 0;

	for (size_t i = 0; i < fit->draw_count; i++)
		below += fit->draws[i][id] < scaled;
	return ((double)below + random_uniform(stream)) / ((double)fit->draw_count + 1.0);
}

static bool told_interval_holds(const struct estimate *estimate, double truth)
{
	const struct interval *interval =
	    estimate->has_posterior ? &estimate->posterior : &estimate->best;

	return truth >= interval->low95 && truth <= interval->high95;
}

void calibration_fill(const struct fit_result *fit, enum constant_id id, double truth,
                      struct random_stream *stream, struct calibration_constant *out)
{
	double scaled = constant_to_scale(id, truth);
	double mean, deviation, value;

	draw_moments(fit, id, &mean, &deviation);
	value = constant_from_scale(id, mean);
	*out = (struct calibration_constant){
	    .truth = truth,
	    .z = (mean - scaled) / deviation,
	    .place = place_among(fit, id, scaled, stream),
	    .relative = deviation * constant_scale_slope(id, value) / value,
	    .learned = fit->constants[id].learned,
	    .told95 = told_interval_holds(&fit->constants[id], truth),
	    .state = fit->constants[id].state,
	};
}

static double processor_seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* What stands for a session until it is fitted: nothing known, nothing held. */
static void start_outcome(const struct constants *truth, struct calibration_outcome *outcome)
{
	memset(outcome, 0, sizeof *outcome);
	outcome->status = STATUS_SYSTEM;
	outcome->p = NAN;
	outcome->excess = NAN;
	for (int id = 0; id < CONSTANT_COUNT; id++)
		outcome->constants[id] =
		    (struct calibration_constant){.truth = truth->value[id],
		                                  .z = NAN,
		                                  .place = NAN,
		                                  .relative = NAN,
		                                  .state = KNOWLEDGE_NOT_DETERMINED};
}

static void read_fit(const struct fit_result *fit, const struct constants *truth,
                     struct random_stream *stream, struct calibration_outcome *outcome)
{
	outcome->set_aside = fit->set_aside_count;
	outcome->p = fit->chi_square_p;
	outcome->answered = fit->draw_count > 1;
	for (int id = 0; id < CONSTANT_COUNT && outcome->answered; id++)
		calibration_fill(fit, (enum constant_id)id, truth->value[id], stream,
		                 &outcome->constants[id]);
}

static void fit_session(const struct protocol *protocol, const struct measurement *measurement,
                        const struct constants *truth, struct random_stream *stream,
                        struct calibration_outcome *outcome)
{
	struct fit_input input = {measurement, protocol};
	struct fit_options options = {.seed = RANDOM_DEFAULT_SEED};
	struct fault_list faults;
	struct fit_result fit;
	double start = processor_seconds();

	if (fault_list_create(&faults) != STATUS_OK)
		return;
	outcome->strokes = measurement->row_count;
	outcome->status = fit_run(&input, 1, &options, &fit, &faults);
	outcome->seconds = processor_seconds() - start;
	if (outcome->status == STATUS_INPUT)
		session_support_print(&faults);
	fault_list_free(&faults);
	if (outcome->status == STATUS_INPUT || outcome->status == STATUS_SYSTEM)
		return;
	read_fit(&fit, truth, stream, outcome);
	fit_result_free(&fit);
}

/* Plays and fits one session; rows: room for every stroke of the protocol. */
static void play_session(const struct protocol *protocol, const struct constants *truth,
                         struct random_stream *stream, struct simulated_truth *rows,
                         struct calibration_outcome *outcome)
{
	struct session session = session_default();
	struct measurement measurement;

	if (simulate_session_truth(protocol, &session, truth, random_bits(stream), true,
	                           &measurement, rows, design_strokes(protocol)) != STATUS_OK)
		return;
	fit_session(protocol, &measurement, truth, stream, outcome);
	if (outcome->answered)
		calibration_false_end(protocol, &measurement, truth, rows, &outcome->excess);
	measurement_free(&measurement);
}

static void simulate_and_fit(size_t piece, void *out, void *context)
{
	const struct calibration_work *work = context;
	const struct calibration_wish *wish = work->wish;
	struct random_stream stream = random_start(wish->seed, wish->first + work->numbers[piece]);
	struct simulated_truth *rows = calloc(design_strokes(work->protocol), sizeof *rows);
	struct calibration_outcome outcome;
	struct constants truth;

	calibration_draw_constants(&stream, &truth);
	start_outcome(&truth, &outcome);
	if (rows != NULL)
		play_session(work->protocol, &truth, &stream, rows, &outcome);
	free(rows);
	memcpy(out, &outcome, sizeof outcome);
}

/* The sessions of those numbers, at most BATCH. */
static bool run_batch(struct calibration_work *work, const size_t *numbers, size_t count,
                      struct calibration_outcome *outcomes)
{
	struct calibration_outcome batch[BATCH];
	bool well;

	work->numbers = numbers;
	well = workers_run(count, sizeof *batch, simulate_and_fit, work, batch);
	for (size_t i = 0; i < count && well; i++) {
		outcomes[numbers[i]] = batch[i];
		well =
		    work->wish->keep == NULL ||
		    calibration_keep_append(work->wish, work->wish->first + numbers[i], &batch[i]);
	}
	return well;
}

static bool run_missing(struct calibration_work *work, const bool *known,
                        struct calibration_outcome *outcomes)
{
	size_t numbers[BATCH], count = 0;
	bool well = true;

	for (size_t i = 0; i < work->wish->sessions && well; i++) {
		if (!known[i])
			numbers[count++] = i;
		if (count < BATCH && i + 1 < work->wish->sessions)
			continue;
		well = run_batch(work, numbers, count, outcomes);
		count = 0;
	}
	return well;
}

bool calibration_run(const struct calibration_wish *wish, struct calibration_outcome *outcomes)
{
	bool *known = calloc(wish->sessions, sizeof *known);
	struct protocol protocol;
	struct calibration_work work = {.wish = wish, .protocol = &protocol};
	char path[160];
	bool done = false;

	snprintf(path, sizeof path, "protocols/%.60s.json", wish->protocol);
	session_support_protocol(session_support_path(path), &protocol);
	if (known != NULL && (wish->keep == NULL || calibration_keep_read(wish, outcomes, known)))
		done = run_missing(&work, known, outcomes);
	protocol_free(&protocol);
	free(known);
	return done;
}
