/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "../unit/session_support.h"
#include "../unit/shot_support.h"
#include "estimate/fit.h"
#include "estimate/simulate.h"
#include "physics/cushion.h"

/* How fast shots, cushion impacts and a fit are, in processor time and as multiples of a plain loop
 * of square roots and divisions on the same machine in the same run, so that numbers of different
 * machines compare. Prints; asserts nothing. */

#define LOOP 20000000L /* square roots and divisions of the reference loop */
#define ENOUGH 1.0     /* [s] a thing is measured for at least this long */

static double seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Seconds that one square root with one division takes, each waiting for the one before. */
static double reference_operation(void)
{
	volatile double keep;
	double x = 1.7, start = seconds();

	for (long i = 0; i < LOOP; i++)
		x = sqrt(1.3 + 1.0 / x);
	keep = x;
	(void)keep;
	return (seconds() - start) / (double)LOOP;
}

static void print_rate(const char *what, double each, double operation)
{
	printf("%-42s %10.0f a second, %8.0f reference operations each\n", what, 1.0 / each,
	       each / operation);
}

/* Seconds that one play of the shot takes; prints what it consists of. */
static double time_shot(const char *what, const struct shot_support *shot)
{
	struct shot_record record;
	double start, took = 0.0;
	long count = 0;

	shot_support_play(shot, NULL, &record);
	printf("%s: %zu events, %u rail impacts, ending %d\n", what, record.event_count,
	       record.impacts[0] + record.impacts[1], (int)record.ending);
	start = seconds();
	while (took < ENOUGH) {
		for (int i = 0; i < 100; i++)
			shot_support_play(shot, NULL, &record);
		count += 100;
		took = seconds() - start;
	}
	return took / (double)count;
}

/* A corner kick over three rails, to rest. */
static void bench_one_ball(double operation)
{
	struct shot_support shot;

	shot_support_start(&shot, 1);
	shot.states[0] = shot_support_ball(0.25, 0.45, shot.bodies[0].radius, 0.87, 1.9, 1.9, 0.8);
	print_rate("one-ball shots over three rails", time_shot("one ball", &shot), operation);
}

/* A cut with rail contacts of both balls, to rest. */
static void bench_two_balls(double operation)
{
	struct shot_support shot;

	shot_support_start(&shot, 2);
	shot.states[0] = shot_support_ball(0.40, 0.50, shot.bodies[0].radius, 0.93, 2.5, 2.5, 0.4);
	shot.states[1].position = vector3_make(0.66, 0.88, shot.bodies[1].radius);
	print_rate("two-ball cuts over four rails", time_shot("two balls", &shot), operation);
}

static void bench_impacts(double operation)
{
	struct random_stream stream = random_start(11, 1);
	struct cushion_contact contact = {0.0363 / 0.028575 - 1.0, 0.93, 0.17, 0.20};
	double start, took = 0.0;
	long count = 0, failed = 0;

	start = seconds();
	while (took < ENOUGH) {
		for (int i = 0; i < 1000; i++) {
			struct vector3 v = {2.0 * random_uniform(&stream) - 1.0,
			                    0.05 + 2.0 * random_uniform(&stream), 0.0};
			struct vector3 rw = {3.0 * random_uniform(&stream) - 2.0,
			                     3.0 * random_uniform(&stream) - 1.5,
			                     4.0 * random_uniform(&stream) - 2.0};

			failed +=
			    cushion_solve(&contact, CUSHION_TOLERANCE, &v, &rw, NULL) != STATUS_OK;
		}
		count += 1000;
		took = seconds() - start;
	}
	print_rate("cushion impacts", took / (double)count, operation);
	if (failed > 0)
		printf("%ld of %ld impacts could not be solved\n", failed, count);
}

static void bench_fit(const char *name, double operation)
{
	struct session session = session_default();
	struct constants centre = constants_centre();
	struct fit_options options = {.seed = RANDOM_DEFAULT_SEED};
	struct measurement measurement;
	struct fault_list faults;
	struct protocol protocol;
	struct fit_result result;
	struct fit_input input = {&measurement, &protocol};
	char path[96];
	double took;

	snprintf(path, sizeof path, "protocols/%s.json", name);
	session_support_protocol(session_support_path(path), &protocol);
	if (fault_list_create(&faults) != STATUS_OK ||
	    simulate_session(&protocol, &session, &centre, 3, true, &measurement) != STATUS_OK) {
		printf("memory is out\n");
		return;
	}
	took = seconds();
	enum status status = fit_run(&input, 1, &options, &result, &faults);

	took = seconds() - took;
	printf("fit of `%s`: %s, %.2f s, %.0f million reference operations\n", name,
	       status_name(status), took, 1e-6 * took / operation);
	if (status != STATUS_INPUT && status != STATUS_SYSTEM)
		fit_result_free(&result);
	measurement_free(&measurement);
	protocol_free(&protocol);
	fault_list_free(&faults);
}

int main(void)
{
	double operation = reference_operation();

	printf("reference operation (square root and division): %.2f ns\n", 1e9 * operation);
	bench_one_ball(operation);
	bench_two_balls(operation);
	bench_impacts(operation);
	bench_fit("full", operation);
	bench_fit("phone", operation);
	printf("reference operation again: %.2f ns\n", 1e9 * reference_operation());
	return 0;
}
