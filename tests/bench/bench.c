/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "../outside/outside_match.h"
#include "../unit/session_support.h"
#include "../unit/shot_support.h"
#include "advise/plan.h"
#include "base/parallel.h"
#include "estimate/fit.h"
#include "estimate/simulate.h"
#include "physics/cushion.h"
#include "shot/batch.h"
#include "shot/gradient.h"

/* How fast shots, their derivatives, cushion impacts, a fit and a plan are, in processor time and as
 * multiples of a plain loop of square roots and divisions on the same machine in the same run, so
 * that numbers of different machines compare. Prints; asserts nothing. */

#define LOOP 20000000L /* square roots and divisions of the reference loop */
#define ENOUGH 1.0     /* [s] a thing is measured for at least this long */
#define SHORT_RUN 100  /* shots of a run, of which the shortest counts */
#define DIRECTIONS 20  /* of derivatives */
#define MANY_BALLS 15  /* at most, in shots of more and more balls */
#define DRAWN 40       /* shots for each number of balls */
#define BATCH 2000     /* shots played by several threads at once */

static double seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Seconds by the clock on the wall, for work of several threads. */
static double wall_seconds(void)
{
	struct timespec now;

	clock_gettime(CLOCK_MONOTONIC, &now);
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

/* Seconds that one play of the shot takes, the least of many short runs, as other work on the machine
 * can only lengthen them; prints what it consists of. */
static double time_shot(const char *what, const struct shot_support *shot)
{
	struct shot_record record;
	double start = seconds(), begun, took = HUGE_VAL;

	shot_support_play(shot, NULL, &record);
	printf("%s: %zu events, %u rail impacts, ending %d\n", what, record.event_count,
	       record.impacts[0] + record.impacts[1], (int)record.ending);
	while (seconds() - start < ENOUGH) {
		begun = seconds();
		for (int i = 0; i < SHORT_RUN; i++)
			shot_support_play(shot, NULL, &record);
		took = fmin(took, (seconds() - begun) / SHORT_RUN);
	}
	return took;
}

/* A corner kick over three rails, to rest. */
static void start_one_ball(struct shot_support *shot)
{
	shot_support_start(shot, 1);
	shot->states[0] =
	    shot_support_ball(0.25, 0.45, shot->bodies[0].radius, 0.87, 1.9, 1.9, 0.8);
}

/* A cut after which either ball meets two rails, to rest. */
static void start_two_balls(struct shot_support *shot)
{
	shot_support_start(shot, 2);
	shot->states[0] =
	    shot_support_ball(0.40, 0.50, shot->bodies[0].radius, 0.915, 2.1, 2.1, 0.4);
	shot->states[1].position = vector3_make(0.66, 0.88, shot->bodies[1].radius);
}

/* The first directions of a fit: the state of the struck ball, the constants, a few irregular
 * impacts. */
static void set_directions(struct shot_gradient *gradient)
{
	gradient->count = DIRECTIONS;
	for (int k = 0; k < DIRECTIONS; k++)
		gradient->directions[k] = (struct shot_direction){
		    .kind = k < STATE_PARTS                    ? DIRECTION_STATE
		            : k < STATE_PARTS + CONSTANT_COUNT ? DIRECTION_CONSTANT
		            : k % 2 == 0                       ? DIRECTION_LIVELINESS
		                                               : DIRECTION_TURN,
		    .constant = (enum constant_id)(
			k >= STATE_PARTS ? (k - STATE_PARTS) % CONSTANT_COUNT : 0),
		    .impact = (unsigned)(k / 2 % 3)};
}

/* Plays one shot with its derivatives, from the state at the strike. */
static void play_gradient(const struct shot_support *shot, struct shot_record *record,
                          struct shot_gradient *gradient)
{
	for (size_t i = 0; i < shot->scene.ball_count; i++)
		shot_gradient_still(gradient, i);
	for (int part = 0; part < STATE_PARTS; part++)
		gradient_set(&gradient->balls[0].part[part], part, 1.0);
	shot_play_gradient(&shot->scene, shot->states, &shot->need, record, gradient);
}

/* What derivatives cost, as a multiple of the shot alone. */
static void bench_gradient(const struct shot_support *shot, double alone)
{
	static struct shot_gradient gradient;
	struct shot_record record;
	double start = seconds(), begun, took = HUGE_VAL;

	set_directions(&gradient);
	while (seconds() - start < ENOUGH) {
		begun = seconds();
		for (int i = 0; i < SHORT_RUN; i++)
			play_gradient(shot, &record, &gradient);
		took = fmin(took, (seconds() - begun) / SHORT_RUN);
	}
	printf("  with %d derivatives of every event: %.2f times the shot%s\n", DIRECTIONS,
	       took / alone, gradient.complete ? "" : " (not complete)");
}

/* Seconds that one play by the outside reference takes; below zero when memory is out. */
static double time_outside(const struct outside_scene *scene, const struct shot_support *shot,
                           const struct outside_accuracy *accuracy, struct outside_record *record)
{
	struct outside_player *player = outside_player_open(shot->scene.ball_count, accuracy);
	double start = seconds(), begun, took = HUGE_VAL;

	if (player == NULL)
		return -1.0;
	while (seconds() - start < ENOUGH) {
		begun = seconds();
		outside_player_play(player, scene, shot->states, record);
		took = fmin(took, seconds() - begun);
	}
	outside_player_close(player);
	return took;
}

/* The same shot by the outside reference, SUNDIALS, at two accuracies: such that it errs no more than
 * the program does, but for rounding, and the coarse one at which a place is known to a tenth of a
 * millimetre. */
static void bench_outside(const struct shot_support *shot, double alone)
{
	static struct outside_record truth;
	static struct shot_record record;
	struct outside_scene scene = {&shot->table, &shot->constants, shot->bodies};
	struct outside_accuracy accuracy = OUTSIDE_PROOF;
	double took = time_outside(&scene, shot, &accuracy, &truth), error;
	const double errors[] = {0.0, 1e-4};

	shot_support_play(shot, NULL, &record);
	error = outside_match_distance(&truth, &record, shot->scene.ball_count);
	if (took < 0.0 || truth.outcome != OUTSIDE_PLAYED || !(error < 1.0)) {
		printf("  the outside reference played no such shot\n");
		return;
	}
	printf("  the program errs by %.2g m; outside reference for proof: %.0f times the time\n",
	       error, took / alone);
	for (size_t i = 0; i < sizeof errors / sizeof errors[0]; i++) {
		static struct outside_record coarse;
		double found;

		if (!outside_match_accuracy(&scene, shot->states, shot->scene.ball_count,
		                            fmax(error, errors[i]), &accuracy, &found))
			printf("  outside reference: not as exact at any accuracy\n");
		else
			printf("  outside reference with an error of %.2g m: %.1f times the time\n",
			       found, time_outside(&scene, shot, &accuracy, &coarse) / alone);
	}
}

static void bench_one_ball(double operation)
{
	struct shot_support shot;
	double each;

	start_one_ball(&shot);
	each = time_shot("one ball", &shot);
	print_rate("one-ball shots over three rails", each, operation);
	bench_gradient(&shot, each);
	bench_outside(&shot, each);
}

static void bench_two_balls(double operation)
{
	struct shot_support shot;
	double each;

	start_two_balls(&shot);
	each = time_shot("two balls", &shot);
	print_rate("two-ball cuts over four rails", each, operation);
	bench_gradient(&shot, each);
	bench_outside(&shot, each);
}

/* The same random shots again and again until ENOUGH has passed; seconds a shot, and how many events
 * they have on average: contacts of balls with rails and with one another. */
static double time_drawn(size_t balls, double *events)
{
	static struct ball_state states[DRAWN][SHOT_BALLS];
	struct random_stream stream = random_start(15, balls);
	struct shot_support shot;
	struct shot_record record;
	double start, took = 0.0;
	long count = 0, all = 0;

	shot_support_start(&shot, balls);
	for (int i = 0; i < DRAWN; i++) {
		shot_support_draw_shot(&stream, &shot);
		memcpy(states[i], shot.states, sizeof states[i]);
	}
	start = seconds();
	while (took < ENOUGH) {
		for (int i = 0; i < DRAWN; i++) {
			shot_play(&shot.scene, states[i], &shot.need, &record);
			all += (long)record.event_count;
		}
		count += DRAWN;
		took = seconds() - start;
	}
	*events = (double)all / (double)count;
	return took / (double)count;
}

/* How the cost of an event grows with the balls on the table. */
static void bench_events(double operation)
{
	printf(
	    "random shots, to rest: balls, contacts a shot, us a contact, reference operations\n");
	for (size_t balls = 1; balls <= MANY_BALLS; balls++) {
		double events, each = time_drawn(balls, &events);

		printf("  %2zu balls %6.1f contacts %8.3f us %8.0f operations\n", balls, events,
		       1e6 * each / events, each / events / operation);
	}
}

/* Different two-ball shots of one scene, played by a number of threads, by the clock on the wall. */
static double time_batch(unsigned threads)
{
	static struct ball_state states[BATCH][2];
	static struct shot_record records[BATCH];
	static struct shot_job jobs[BATCH];
	struct random_stream stream = random_start(16, 1);
	struct shot_support shot;
	double start, took = 0.0;
	long count = 0;

	shot_support_start(&shot, 2);
	for (int i = 0; i < BATCH; i++) {
		shot_support_draw_shot(&stream, &shot);
		memcpy(states[i], shot.states, sizeof states[i]);
		jobs[i] = (struct shot_job){&shot.scene, states[i], &shot.need, &records[i]};
	}
	start = wall_seconds();
	while (took < ENOUGH) {
		if (shot_batch_play(jobs, BATCH, threads) != STATUS_OK)
			printf("the batch could not be played\n");
		count += BATCH;
		took = wall_seconds() - start;
	}
	return took / (double)count;
}

static void bench_batch(void)
{
	double one = time_batch(1), two = time_batch(2);

	printf("batches of random two-ball shots, %u processors online\n", parallel_threads(0));
	printf("  1 thread  %10.0f shots a second\n", 1.0 / one);
	printf("  2 threads %10.0f shots a second, %.2f times as many\n", 1.0 / two, one / two);
}

static void bench_impacts(double operation)
{
	struct random_stream stream = random_start(11, 1);
	struct cushion_contact contact = {.nose_sine = 0.0363 / 0.028575 - 1.0,
	                                  .restitution = 0.93,
	                                  .friction = 0.17,
	                                  .bed_friction = 0.20};
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

/* Seconds of a fit of a simulated session. */
static double bench_fit(const char *name, double operation)
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
		return 0.0;
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
	return took;
}

/* The plan of the default family, all kit but a ramp, 12 strokes, on one processor. */
static void bench_plan(double operation, double fit)
{
	static struct plan plan;
	struct plan_request request = {.session = session_default(),
	                               .spreads = {PLAN_SPREAD_SPEED, PLAN_SPREAD_AIM,
	                                           PLAN_SPREAD_TIP, PLAN_SPREAD_TIP},
	                               .kit = KIT_TAPE | KIT_WATCH | KIT_SOUND,
	                               .strokes = 12,
	                               .candidates = PLAN_CANDIDATES,
	                               .seed = RANDOM_DEFAULT_SEED,
	                               .threads = 1};
	double took = seconds();
	enum status status;

	plan_knowledge_none(&request.known);
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		request.want[q] = plan_quantity_default(q);
	status = plan_make(&request, &plan);
	took = seconds() - took;
	printf("plan of 12 strokes from %d candidates: %s, %.2f s, %.0f million reference "
	       "operations, %.2f times the fit of `phone`\n",
	       PLAN_CANDIDATES, status_name(status), took, 1e-6 * took / operation, took / fit);
	plan_free(&plan);
}

int main(void)
{
	double operation = reference_operation();

	printf("reference operation (square root and division): %.2f ns\n", 1e9 * operation);
	bench_one_ball(operation);
	bench_two_balls(operation);
	bench_events(operation);
	bench_batch();
	bench_impacts(operation);
	bench_fit("full", operation);
	bench_plan(operation, bench_fit("phone", operation));
	printf("reference operation again: %.2f ns\n", 1e9 * reference_operation());
	return 0;
}
