/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit_support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "estimate/simulate.h"
#include "session_support.h"

void fit_support_protocol(struct protocol *protocol)
{
	session_support_protocol(session_support_path("tests/unit/fit_protocol.json"), protocol);
}

struct constants fit_support_truth(void)
{
	return (struct constants){.value = {0.213, 0.0107, 0.0123, 0.941, 0.156, 0.956, 0.053}};
}

void fit_support_session(const struct protocol *protocol, uint64_t seed, const char *name,
                         struct measurement *measurement)
{
	struct session session = session_default();
	struct constants truth = fit_support_truth();

	if (simulate_session(protocol, &session, &truth, seed, true, measurement) != STATUS_OK)
		exit(EXIT_FAILURE);
	measurement->file = name;
	for (size_t i = 0; i < measurement->row_count; i++) {
		measurement->rows[i].line = i + 2;
		for (int number = 0; number < QUANTITY_COUNT; number++)
			measurement->rows[i].columns[number] = (size_t)(number + 3);
	}
}

int fit_support_quantity(const char *name)
{
	int number;

	if (!quantity_from_name(name, strlen(name), &number)) {
		fprintf(stderr, "no quantity %s\n", name);
		exit(EXIT_FAILURE);
	}
	return number;
}

struct stroke_row *fit_support_row(struct measurement *measurement, const char *shot,
                                   int try_number)
{
	for (size_t i = 0; i < measurement->row_count; i++)
		if (strcmp(measurement->rows[i].shot, shot) == 0 &&
		    measurement->rows[i].try_number == try_number)
			return &measurement->rows[i];
	fprintf(stderr, "no stroke %d of %s\n", try_number, shot);
	exit(EXIT_FAILURE);
}

enum status fit_support_run(const struct protocol *protocol, const struct measurement *measurement,
                            uint64_t seed, struct fit_result *result, struct fault_list *faults)
{
	struct fit_input input = {measurement, protocol};
	struct fit_options options = {.seed = seed};
	struct fault_list own;
	enum status status;

	if (faults != NULL)
		return fit_run(&input, 1, &options, result, faults);
	if (fault_list_create(&own) != STATUS_OK)
		exit(EXIT_FAILURE);
	status = fit_run(&input, 1, &options, result, &own);
	session_support_print(&own);
	fault_list_free(&own);
	return status;
}

double fit_support_worst(const struct fit_result *result, const struct constants *truth)
{
	double worst = 0.0;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		worst = fmax(worst, fabs(result->centre[id] - constant_to_scale((enum constant_id)id,
		                                                              truth->value[id])) /
		                        sqrt(result->covariance[id][id]));
	return worst;
}
