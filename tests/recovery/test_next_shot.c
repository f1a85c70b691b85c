/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <math.h>
#include <string.h>

#include "../unit/session_support.h"
#include "estimate/next_shots.h"
#include "estimate/simulate.h"

/* What the advice of a fit promises comes true: sessions of a protocol are simulated and fitted,
 * the advised shot is simulated in a further session of another player and fitted with the first,
 * and the standard error of its constant is compared with the one that was foretold. */

#define PROTOCOLS 3

struct world {
	struct protocol protocols[PROTOCOLS]; /* full, phone, usual */
	struct next_candidate candidates[64];
	size_t count;
};

static void make_world(struct world *world)
{
	static const char *const paths[PROTOCOLS] = {"protocols/full.json", "protocols/phone.json",
	                                             "protocols/usual.json"};

	world->count = 0;
	for (size_t i = 0; i < PROTOCOLS; i++) {
		struct protocol *protocol = &world->protocols[i];

		session_support_protocol(session_support_path(paths[i]), protocol);
		for (size_t k = 0; k < protocol->shot_count; k++)
			world->candidates[world->count++] =
			    (struct next_candidate){protocol, &protocol->shots[k]};
	}
}

static void free_world(struct world *world)
{
	for (size_t i = 0; i < PROTOCOLS; i++)
		protocol_free(&world->protocols[i]);
}

/* sd of the logarithm on the fitted scale's covariance. */
static double relative_error(const struct fit_result *result, enum constant_id id)
{
	double value = constant_from_scale(id, result->centre[id]);

	return constant_scale_slope(id, value) / value * sqrt(result->covariance[id][id]);
}

static void fit(const struct fit_input *inputs, size_t count, struct fit_result *result)
{
	struct fit_options options = {.seed = 1};
	struct fault_list faults;

	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(fit_run(inputs, count, &options, result, &faults), STATUS_OK);
	fault_list_free(&faults);
}

/* Plays a shot so many times in a further session. */
static void play_more(const struct next_shot *shot, const struct session *session,
                      const struct constants *truth, uint64_t seed, struct measurement *more)
{
	struct shot_design design = *shot->shot;
	struct protocol alone = *shot->protocol;

	design.tries = shot->strokes;
	alone.shots = &design;
	alone.shot_count = 1;
	ck_assert_int_eq(simulate_session(&alone, session, truth, seed, true, more), STATUS_OK);
	more->file = "more.csv";
}

/* Adds the logarithms of the foretold and of the real standard error after the advised shot. */
static void try_one(const struct world *world, const struct protocol *protocol, uint64_t seed,
                    double *foretold, double *real)
{
	const struct constants truth = {
	    .value = {0.217, 0.0112, 0.0117, 0.921, 0.184, 0.947, 0.071}};
	struct session session = session_default();
	struct measurement first, more;
	struct fit_input inputs[2] = {{&first, protocol}, {&more, NULL}};
	struct fit_result before, after;
	struct next_shots next;
	const struct next_shot *shot = &next.shots[0];

	ck_assert_int_eq(simulate_session(protocol, &session, &truth, seed, true, &first),
	                 STATUS_OK);
	first.file = "first.csv";
	fit(inputs, 1, &before);
	ck_assert_int_eq(
	    next_shots_choose(inputs, 1, &before, world->candidates, world->count, &next),
	    STATUS_OK);
	ck_assert_uint_ge(next.count, 1);
	play_more(shot, &session, &truth, seed + 1000, &more);
	inputs[1].protocol = shot->protocol;
	fit(inputs, 2, &after);
	*foretold += log(shot->after);
	*real += log(relative_error(&after, shot->constant));
	printf("%s %llu: %s of %s, %s: %.3f, foretold %.3f, came %.3f\n", protocol->name,
	       (unsigned long long)seed, shot->shot->key, shot->protocol->name,
	       constant_prior(shot->constant)->name, shot->before, shot->after,
	       relative_error(&after, shot->constant));
	ck_assert_double_eq_tol(relative_error(&before, shot->constant), shot->before, 1e-9);
	fit_result_free(&before);
	fit_result_free(&after);
	measurement_free(&first);
	measurement_free(&more);
}

/* The geometric means over sessions of two protocols agree within 30 %: what is foretold looks at a
 * few futures only, and each is linearised. After sessions by phone spin friction is the worst,
 * which a stopwatch tells; after the full protocol it is sliding friction, which a phone tells. */
START_TEST(the_next_shot_helps_as_foretold)
{
	static const struct {
		int protocol;
		uint64_t seed;
	} sessions[] = {{0, 41}, {0, 42}, {0, 43}, {0, 44}, {1, 71}, {1, 72}, {1, 73}, {1, 74}};
	const size_t count = sizeof sessions / sizeof sessions[0];
	double foretold = 0.0, real = 0.0;
	struct world world;

	make_world(&world);
	for (size_t i = 0; i < count; i++)
		try_one(&world, &world.protocols[sessions[i].protocol], sessions[i].seed, &foretold,
		        &real);
	printf("real over foretold: %.2f\n", exp((real - foretold) / (double)count));
	ck_assert_double_lt(fabs(real - foretold) / (double)count, log(1.3));
	free_world(&world);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("the next shot");
	TCase *shots = tcase_create("simulated");

	tcase_add_test(shots, the_next_shot_helps_as_foretold);
	suite_add_tcase(suite, shots);
	return close_run(suite);
}
