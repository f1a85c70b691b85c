/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "physics/cushion.h"
#include "report_checks.h"
#include "shot/trace_path.h"
#include "shot_support.h"

/* The trace of a shot against its record and against itself. Expected values: the record of the
 * same play (src/shot/play.h); continuity of position, and of velocity where nothing is met; the
 * promise of trace_path_make; for the number of points the sagitta of a parabola, a T^2 / 8. */

#define SHOTS 40
#define MILLIMETRE 0.001

struct traced {
	struct shot_support shot;
	struct shot_trace trace;
	struct shot_record record;
};

static void play_traced(struct traced *traced)
{
	traced->trace = (struct shot_trace){.count = 0};
	traced->shot.scene.trace = &traced->trace;
	shot_support_play(&traced->shot, NULL, &traced->record);
	ck_assert(!traced->trace.memory_out);
}

/* Balls 1 to 5 by chance; every third shot on a slope, every fourth with balls that fly. */
static void draw_traced(struct random_stream *stream, int number, struct traced *traced)
{
	shot_support_start(&traced->shot, 1 + (size_t)(number % 5));
	traced->shot.table.pockets = number % 2 == 0;
	shot_support_draw_shot(stream, &traced->shot);
	if (number % 3 == 0)
		traced->shot.constants.terms.slope_long = 0.0023;
	if (number % 4 == 0) {
		traced->shot.constants.terms.bed_restitution = 0.53;
		traced->shot.states[0].velocity.z = shot_support_between(stream, 0.0, 1.3);
	}
	play_traced(traced);
	ck_assert_int_eq(traced->record.ending, SHOT_COMPLETE);
}

static double radius_of(const struct traced *traced, size_t ball)
{
	return traced->shot.bodies[ball].radius;
}

static double apart(struct vector3 a, struct vector3 b)
{
	return vector3_norm(vector3_subtract(a, b));
}

/* Whether the record has something happen to a ball at that time. */
static bool is_met(const struct shot_record *record, size_t ball, double time)
{
	for (size_t i = 0; i < record->event_count; i++) {
		const struct shot_event *event = &record->events[i];

		if ((event->ball == ball || event->other == ball) && event->time == time)
			return true;
	}
	return record->event_count >= SHOT_EVENTS;
}

/* The pieces of one ball follow one another without a gap, from the strike on. */
static void check_ball(const struct traced *traced, size_t ball, int *met)
{
	const struct trace_piece *before = NULL;

	for (size_t i = 0; i < traced->trace.count; i++) {
		const struct trace_piece *piece = &traced->trace.pieces[i];
		struct ball_state end;

		if (piece->ball != ball)
			continue;
		ck_assert_double_gt(piece->end_time, piece->start_time);
		ck_assert_double_le(piece->end_time - piece->start_time,
		                    piece->motion.duration * (1.0 + 1e-9) + 1e-12);
		if (before == NULL) {
			ck_assert_double_eq(piece->start_time, 0.0);
		} else {
			ck_assert_double_eq(piece->start_time, before->end_time);
			end = trace_piece_at(before, before->end_time, radius_of(traced, ball));
			/* Balls that press on one another are set apart again by about 1e-6 m. */
			ck_assert_double_lt(apart(end.position, piece->start.position), 5e-6);
			if (is_met(&traced->record, ball, piece->start_time))
				(*met)++;
			else
				ck_assert_double_lt(apart(end.velocity, piece->start.velocity), 1e-8);
			if (piece->motion.phase == CLOTH_REST && !is_met(&traced->record, ball,
			                                                 piece->start_time))
				ck_assert_double_eq(vector3_norm(end.velocity), 0.0);
		}
		before = piece;
	}
}

START_TEST(test_pieces_follow_one_another)
{
	struct random_stream stream = random_start(7331, 1);
	int met = 0;

	for (int i = 0; i < SHOTS; i++) {
		struct traced traced;

		draw_traced(&stream, i, &traced);
		for (size_t ball = 0; ball < traced.shot.scene.ball_count; ball++)
			check_ball(&traced, ball, &met);
		shot_trace_free(&traced.trace);
	}
	ck_assert_int_gt(met, 5 * SHOTS);
}
END_TEST

START_TEST(test_agrees_with_record)
{
	struct random_stream stream = random_start(7332, 2);
	int pocketed = 0;

	for (int i = 0; i < SHOTS; i++) {
		struct traced traced;
		struct ball_state state;
		enum cloth_phase phase;

		draw_traced(&stream, i, &traced);
		for (size_t k = 0; k < traced.record.event_count; k++) {
			const struct shot_event *event = &traced.record.events[k];

			ck_assert(shot_trace_at(&traced.trace, event->ball, event->time,
			                        radius_of(&traced, event->ball), &state, NULL));
			ck_assert_double_lt(apart(state.position, event->position), 5e-6);
		}
		for (size_t ball = 0; ball < traced.shot.scene.ball_count; ball++) {
			const struct ball_end *end = &traced.record.ends[ball];

			ck_assert(shot_trace_at(&traced.trace, ball, end->rest_time + 3.17,
			                        radius_of(&traced, ball), &state, &phase));
			ck_assert_double_lt(apart(state.position, end->position), 1e-12);
			pocketed += end->pocketed;
			if (end->pocketed)
				continue;
			ck_assert_int_eq(phase, CLOTH_REST);
			/* It moves until just before, where it ever moved. */
			if (end->rest_time == 0.0)
				continue;
			ck_assert(shot_trace_at(&traced.trace, ball, end->rest_time - 1e-4,
			                        radius_of(&traced, ball), &state, &phase));
			ck_assert_int_ne(phase, CLOTH_REST);
		}
		shot_trace_free(&traced.trace);
	}
	ck_assert_int_gt(pocketed, 2);
}
END_TEST

/* Being traced changes nothing. */
START_TEST(test_play_stays_the_same)
{
	struct random_stream stream = random_start(7333, 3);

	for (int i = 0; i < 10; i++) {
		struct shot_record plain;
		struct traced traced;

		draw_traced(&stream, i, &traced);
		traced.shot.scene.trace = NULL;
		shot_support_play(&traced.shot, NULL, &plain);
		ck_assert_uint_eq(plain.event_count, traced.record.event_count);
		for (size_t k = 0; k < plain.event_count; k++) {
			ck_assert_double_eq(plain.events[k].time, traced.record.events[k].time);
			ck_assert_double_eq(plain.events[k].approach, traced.record.events[k].approach);
		}
		for (size_t ball = 0; ball < plain.ball_count; ball++)
			ck_assert_double_eq(plain.ends[ball].still_time,
			                    traced.record.ends[ball].still_time);
		shot_trace_free(&traced.trace);
	}
}
END_TEST

/* The largest distance between a ball and the point that its path gives for the same time. */
static double worst_of(const struct traced *traced, size_t ball, const struct trace_path *path,
                       struct random_stream *stream)
{
	double worst = 0.0;

	for (size_t i = 1; i < path->count; i++) {
		const struct trace_point *a = &path->points[i - 1], *b = &path->points[i];

		ck_assert_double_ge(b->time, a->time);
		if (b->time == a->time)
			ck_assert_double_lt(apart(a->state.position, b->state.position), 5e-6);
		if (b->begins)
			continue;
		for (int k = 0; k < 7; k++) {
			double share = random_uniform(stream);
			double time = a->time + share * (b->time - a->time);
			struct vector3 even = vector3_add(vector3_scale(1.0 - share, a->state.position),
			                                  vector3_scale(share, b->state.position));
			struct ball_state state;

			ck_assert(shot_trace_at(&traced->trace, ball, time, radius_of(traced, ball),
			                        &state, NULL));
			worst = fmax(worst, apart(state.position, even));
		}
	}
	return worst;
}

/* When all balls are still. */
static double still_time(const struct shot_record *record)
{
	double time = 0.0;

	for (size_t i = 0; i < record->ball_count; i++)
		time = fmax(time, record->ends[i].still_time);
	return time;
}

static double worst_path(double tolerance)
{
	struct random_stream stream = random_start(7334, 4);
	double worst = 0.0;

	for (int i = 0; i < SHOTS; i++) {
		struct traced traced;
		double until;

		draw_traced(&stream, i, &traced);
		until = still_time(&traced.record) + 0.5;
		for (size_t ball = 0; ball < traced.shot.scene.ball_count; ball++) {
			struct trace_path path = {.count = 0};

			ck_assert_int_eq(trace_path_make(&traced.trace, ball, radius_of(&traced, ball),
			                                 until, tolerance, &path),
			                 STATUS_OK);
			ck_assert_uint_gt(path.count, 1);
			ck_assert(path.points[0].begins && path.points[0].time == 0.0);
			worst = fmax(worst, worst_of(&traced, ball, &path, &stream));
			if (!traced.record.ends[ball].pocketed) {
				ck_assert_double_eq(path.points[path.count - 1].time, until);
				ck_assert_int_eq(path.points[path.count - 1].phase, TRACE_STILL);
			}
			trace_path_free(&path);
		}
		shot_trace_free(&traced.trace);
	}
	return worst;
}

START_TEST(test_path_within_tolerance)
{
	double worst = worst_path(MILLIMETRE);

	ck_assert_double_le(worst, MILLIMETRE);
	ck_assert_double_gt(worst, 0.8 * MILLIMETRE); /* no more points than it takes */
	ck_assert_double_gt(worst_path(7.0 * MILLIMETRE), 5.0 * MILLIMETRE);
}
END_TEST

/* A ball slides across the table and rolls: in each phase as many steps as the sagitta wants. */
START_TEST(test_path_points)
{
	struct traced traced;
	struct trace_path path = {.count = 0};
	double g = STANDARD_GRAVITY, v = 1.37, radius, slide, roll;
	size_t slide_steps, roll_steps;

	shot_support_start(&traced.shot, 1);
	radius = radius_of(&traced, 0);
	traced.shot.constants.value[ROLLING_RESISTANCE] = 0.147; /* so that no rail is reached */
	traced.shot.states[0] = shot_support_ball(0.61, 0.2, radius, M_PI_2, v, 0.0, 0.0);
	slide = traced.shot.constants.value[SLIDING_FRICTION] * g;
	roll = traced.shot.constants.value[ROLLING_RESISTANCE] * g;
	play_traced(&traced);
	ck_assert_uint_eq(traced.record.event_count, 0);
	ck_assert_int_eq(trace_path_make(&traced.trace, 0, radius, 0.0, MILLIMETRE, &path),
	                 STATUS_OK);
	slide_steps = (size_t)ceil(2.0 * v / (7.0 * slide) * sqrt(slide / (8.0 * 0.9 * MILLIMETRE)));
	roll_steps = (size_t)ceil(5.0 * v / (7.0 * roll) * sqrt(roll / (8.0 * 0.9 * MILLIMETRE)));
	ck_assert_uint_eq(path.count, (slide_steps + 1) + (roll_steps + 1) + 1);
	ck_assert_int_eq(path.points[slide_steps].phase, TRACE_SLIDING);
	ck_assert_double_eq_tol(path.points[slide_steps].time, 2.0 * v / (7.0 * slide), 1e-12);
	ck_assert(path.points[slide_steps + 1].begins);
	ck_assert_int_eq(path.points[slide_steps + 1].phase, TRACE_ROLLING);
	ck_assert_int_eq(path.points[path.count - 1].phase, TRACE_STILL);
	trace_path_free(&path);
	shot_trace_free(&traced.trace);
}
END_TEST

/* A ball that only spins, from the strike on: the play is over at once, the path is not. The side
 * spin falls at 5/2 spin_friction g / R (physics.md 1). */
START_TEST(test_spin_on_the_spot)
{
	struct traced traced;
	struct trace_path path = {.count = 0};
	struct ball_state state;
	double radius, rate, spin = 83.1;

	shot_support_start(&traced.shot, 2);
	radius = radius_of(&traced, 0);
	rate = 2.5 * traced.shot.constants.value[SPIN_FRICTION] * STANDARD_GRAVITY / radius;
	traced.shot.states[0].spin.z = spin;
	play_traced(&traced);
	ck_assert_double_eq_tol(traced.record.ends[0].still_time, spin / rate, 1e-12);
	ck_assert(shot_trace_at(&traced.trace, 0, 0.4 * spin / rate, radius, &state, NULL));
	ck_assert_double_eq_tol(state.spin.z, 0.6 * spin, 1e-10);
	ck_assert_int_eq(trace_path_make(&traced.trace, 0, radius, 2.0 * spin / rate, MILLIMETRE,
	                                 &path),
	                 STATUS_OK);
	ck_assert_uint_eq(path.count, 4);
	ck_assert_int_eq(path.points[1].phase, TRACE_SPINNING);
	ck_assert_double_eq_tol(path.points[1].time, spin / rate, 1e-12);
	ck_assert_int_eq(path.points[2].phase, TRACE_STILL);
	ck_assert_double_eq(path.points[3].state.spin.z, 0.0);
	trace_path_free(&path);
	ck_assert(!shot_trace_at(&traced.trace, 0, -0.1, radius, &state, NULL));
	ck_assert(!shot_trace_at(&traced.trace, 2, 0.1, radius, &state, NULL));
	shot_trace_free(&traced.trace);
}
END_TEST

static Suite *make_suite(void)
{
	Suite *suite = suite_create("trace");
	TCase *tests = tcase_create("trace");

	tcase_add_test(tests, test_pieces_follow_one_another);
	tcase_add_test(tests, test_agrees_with_record);
	tcase_add_test(tests, test_play_stays_the_same);
	tcase_add_test(tests, test_path_within_tolerance);
	tcase_add_test(tests, test_path_points);
	tcase_add_test(tests, test_spin_on_the_spot);
	suite_add_tcase(suite, tests);
	return suite;
}

int main(void)
{
	return run_suite(make_suite());
}
