/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "shot_support.h"

/* What ends a play early: numbers that are not finite, too many events, what was needed. */

#define SHOTS 3000

static double *number_of(struct ball_state *ball, int which)
{
	double *const numbers[] = {&ball->position.x, &ball->position.y, &ball->velocity.x,
	                           &ball->velocity.y, &ball->spin.x,     &ball->spin.y,
	                           &ball->spin.z};

	return numbers[which];
}

/* play.h: SHOT_BROKEN is a number that is not finite. Each number of a moving and of a resting ball
 * in turn; whatever is said, the play ends and no shot with such a start is called complete. */
START_TEST(start_that_is_not_finite_is_broken)
{
	static const double bad[] = {NAN, HUGE_VAL, -HUGE_VAL};
	int misses = 0;

	for (int i = 0; i < 7 * 3 * 2; i++) {
		struct shot_support shot;
		struct shot_record record;

		shot_support_start(&shot, 3);
		shot.states[0] =
		    shot_support_ball(0.4, 0.5, shot.bodies[0].radius, 0.8, 1.9, 0.7, 0.4);
		*number_of(&shot.states[i % 2], i / 6) = bad[i / 2 % 3];
		shot_support_play(&shot, NULL, &record);
		if (record.ending != SHOT_BROKEN) {
			fprintf(stderr, "ball %d, number %d = %g: ending %d, not broken\n", i % 2,
			        i / 6, bad[i / 2 % 3], (int)record.ending);
			misses++;
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

static bool ends_are_finite(const struct shot_record *record)
{
	for (size_t i = 0; i < record->ball_count; i++) {
		const struct ball_end *end = &record->ends[i];

		if (!isfinite(end->position.x) || !isfinite(end->position.y) ||
		    !isfinite(end->rest_time) || !isfinite(end->still_time))
			return false;
	}
	for (size_t k = 0; k < record->event_count; k++)
		if (!isfinite(record->events[k].time) || !isfinite(record->events[k].approach))
			return false;
	return true;
}

/* The same for the surroundings: nothing that is not finite comes out of a play called complete. */
START_TEST(constants_that_are_not_finite_are_broken)
{
	int misses = 0;

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		struct shot_support shot;
		struct shot_record record;

		shot_support_start(&shot, 2);
		shot.states[0] =
		    shot_support_ball(0.4, 0.5, shot.bodies[0].radius, 0.0, 1.9, 0.7, 0.4);
		shot.states[1].position = vector3_make(0.8, 0.51, shot.bodies[1].radius);
		shot.constants.value[i] = NAN;
		shot_support_play(&shot, NULL, &record);
		misses += close_false(constant_prior((enum constant_id)i)->name, (int)record.ending,
		                      "broken, or finite",
		                      record.ending == SHOT_BROKEN || ends_are_finite(&record));
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Numbers that are finite and none of a table, each the only one that is wrong: formulas would
 * overflow or divide by zero on the way. */
START_TEST(numbers_beyond_any_table_are_broken)
{
	int misses = 0;

	for (int i = 0; i < 14; i++) {
		struct shot_support shot;
		struct shot_record record;
		double *const numbers[] = {&shot.bodies[1].radius,
		                           &shot.bodies[1].radius,
		                           &shot.bodies[0].mass,
		                           &shot.bodies[0].grip,
		                           &shot.constants.value[SLIDING_FRICTION],
		                           &shot.constants.value[ROLLING_RESISTANCE],
		                           &shot.constants.terms.bed_restitution,
		                           &shot.constants.value[CUSHION_RESTITUTION],
		                           &shot.table.length,
		                           &shot.states[1].position.z,
		                           &shot.states[0].position.z,
		                           &shot.states[0].velocity.x,
		                           &shot.states[0].spin.z,
		                           &shot.states[1].position.y};
		static const double bad[] = {1e-310, 1e18,  5e-324, 1e-160, 1e-160, 1e-310, -1e-9,
		                             1.1,    1e154, 0.0,    0.1,    1e155,  1e18,   -1e6};

		shot_support_start(&shot, 2);
		shot.states[0] =
		    shot_support_ball(0.4, 0.5, shot.bodies[0].radius, 0.8, 1.9, 0.7, 0.4);
		*numbers[i] = bad[i];
		shot_support_play(&shot, NULL, &record);
		misses += close_miss("number", i, "broken", SHOT_BROKEN, record.ending, 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A ball that nothing slows down runs between two rails for ever: given up after SHOT_EVENT_CAP
 * events, of which SHOT_EVENTS are recorded. */
START_TEST(play_without_end_is_capped)
{
	struct shot_support shot;
	struct shot_record record;

	shot_support_start(&shot, 1);
	shot.constants.value[SLIDING_FRICTION] = 1e-12;
	shot.constants.value[ROLLING_RESISTANCE] = 1e-12;
	shot.constants.value[CUSHION_FRICTION] = 0.0;
	shot.constants.value[CUSHION_RESTITUTION] = 1.0;
	shot.states[0] = shot_support_ball(0.4, 0.5, shot.bodies[0].radius, 0.0, 2.0, 0.0, 0.0);
	shot_support_play(&shot, NULL, &record);
	ck_assert_int_eq(record.ending, SHOT_CAPPED);
	ck_assert_uint_eq(record.event_count, SHOT_EVENTS);
	ck_assert_uint_ge(record.impacts[0], 1000);
}
END_TEST

static bool event_equal(const struct shot_event *a, const struct shot_event *b)
{
	return a->kind == b->kind && a->time == b->time && a->ball == b->ball &&
	       a->other == b->other && a->rail == b->rail && a->number == b->number &&
	       a->position.x == b->position.x && a->position.y == b->position.y &&
	       a->approach == b->approach;
}

/* Counts what a need asks for, among the first `count` events; sounds as formats.md 3 says. */
static bool need_is_met(const struct shot_record *record, size_t count,
                        const struct shot_need *need)
{
	int rails[SHOT_BALLS] = {0}, contacts = 0, sounds = 0;
	bool fallen[SHOT_BALLS] = {false};
	double last = need->struck ? 0.0 : -HUGE_VAL;

	for (size_t k = 0; k < count; k++) {
		const struct shot_event *event = &record->events[k];

		rails[event->ball] += event->kind == EVENT_RAIL && event->number > 0;
		contacts += event->kind == EVENT_BALLS;
		fallen[event->ball] = fallen[event->ball] || event->kind == EVENT_POCKET;
		if (event->kind != EVENT_POCKET && event->approach >= 0.15 &&
		    event->time - last >= 0.020) {
			sounds++;
			last = event->time;
		}
	}
	if (contacts < need->ball_contacts || sounds < need->sounds)
		return false;
	for (size_t i = 0; i < record->ball_count; i++)
		if (!fallen[i] && rails[i] < need->rails[i])
			return false;
	return true;
}

/* A play that ends early holds the same events, to the bit, up to the first instant at which all
 * that is needed has happened, and none after it. */
START_TEST(enough_gives_the_same_events)
{
	struct random_stream stream = random_start(66413, 1);
	int misses = 0, early = 0;

	for (int i = 0; i < SHOTS; i++) {
		struct shot_support shot;
		struct shot_record full, part;
		struct shot_need need = {.struck = i % 2 == 0};

		shot_support_start(&shot, (size_t)(1 + i % 3));
		shot.table.pockets = true;
		shot_support_draw_shot(&stream, &shot);
		for (size_t k = 0; k < shot.scene.ball_count; k++)
			need.rails[k] = (int)(random_bits(&stream) % 3);
		need.ball_contacts = (int)(random_bits(&stream) % 2) * (shot.scene.ball_count > 1);
		need.sounds = (int)(random_bits(&stream) % 3);
		shot_support_play(&shot, NULL, &full);
		shot_support_play(&shot, &need, &part);
		if (full.ending != SHOT_COMPLETE) {
			misses += close_false("enough", i, "the whole shot is played", false);
			continue;
		}
		for (size_t k = 0; k < part.event_count && k < full.event_count; k++)
			misses += close_false("enough", i, "same event",
			                      event_equal(&full.events[k], &part.events[k]));
		if (need_is_met(&full, 0, &need))
			continue; /* nothing is needed */
		if (!need_is_met(&full, full.event_count, &need)) {
			misses += close_false(
			    "enough", i, "played to the end for what never happens",
			    part.ending == SHOT_COMPLETE && part.event_count == full.event_count);
			continue;
		}
		early += part.event_count < full.event_count;
		misses += close_false("enough", i, "all that is needed",
		                      need_is_met(&part, part.event_count, &need));
		/* Without the events of the last instant something is missing. */
		size_t before = part.event_count;

		while (before > 0 &&
		       part.events[before - 1].time == part.events[part.event_count - 1].time)
			before--;
		misses += close_false("enough", i, "no more than is needed",
		                      part.event_count == 0 || !need_is_met(&part, before, &need));
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(early, SHOTS / 4);
}
END_TEST

/* A ball that is not there: nothing happens to it and it is in nobody's way. */
START_TEST(absent_balls_are_not_met)
{
	struct shot_support shot;
	struct shot_record record;
	const bool present[3] = {true, false, true};

	shot_support_start(&shot, 3);
	shot.states[0] = shot_support_ball(0.3, 0.9, shot.bodies[0].radius, 0.0, 1.1, 1.1, 0.0);
	shot.states[1].position = vector3_make(0.6, 0.9, shot.bodies[1].radius);
	shot.states[2].position = vector3_make(0.9, 0.9, shot.bodies[2].radius);
	shot.scene.present = present;
	shot_support_play(&shot, NULL, &record);
	ck_assert_int_eq(record.ending, SHOT_COMPLETE);
	ck_assert_uint_ge(record.event_count, 1);
	ck_assert_int_eq(record.events[0].kind, EVENT_BALLS);
	ck_assert_uint_eq(record.events[0].ball, 0);
	ck_assert_uint_eq(record.events[0].other, 2);
	for (size_t k = 0; k < record.event_count; k++)
		ck_assert(record.events[k].ball != 1 && record.events[k].other != 1);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("guards of a play");
	TCase *guards = tcase_create("guards");

	tcase_add_test(guards, start_that_is_not_finite_is_broken);
	tcase_add_test(guards, constants_that_are_not_finite_are_broken);
	tcase_add_test(guards, numbers_beyond_any_table_are_broken);
	tcase_add_test(guards, play_without_end_is_capped);
	tcase_add_test(guards, enough_gives_the_same_events);
	tcase_add_test(guards, absent_balls_are_not_met);
	suite_add_tcase(suite, guards);
	return close_run(suite);
}
