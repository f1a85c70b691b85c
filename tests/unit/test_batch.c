/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "shot/batch.h"
#include "shot_support.h"

/* What batch.h promises: every shot as if it were played alone, to the bit, on any number of
 * threads, jobs sharing what they may share. */

#define SHOTS 400
#define SCENES 8 /* each shared by SHOTS / SCENES jobs */

static struct shot_support scenes[SCENES];
static struct ball_state states[SHOTS][SHOT_BALLS];
static struct shot_record alone[SHOTS], together[SHOTS];
static struct shot_job jobs[SHOTS];

/* Scenes of one to eight balls, pockets and constants as they come, and strokes for each. */
static void draw_jobs(void)
{
	struct random_stream stream = random_start(90173, 4);

	for (size_t k = 0; k < SCENES; k++) {
		shot_support_start(&scenes[k], k + 1);
		scenes[k].table.pockets = k % 3 == 0;
		if (k % 2 == 0) /* the others are usual tables, on which more happens */
			shot_support_draw_constants(&stream, &scenes[k].constants);
	}
	for (size_t i = 0; i < SHOTS; i++) {
		struct shot_support *shot = &scenes[i % SCENES];

		shot_support_draw_shot(&stream, shot);
		memcpy(states[i], shot->states, sizeof states[i]);
		jobs[i] = (struct shot_job){.scene = &shot->scene,
		                            .states = states[i],
		                            .need = i % 5 == 0 ? NULL : &shot->need,
		                            .record = &together[i]};
	}
}

static bool vector_same(struct vector3 a, struct vector3 b)
{
	return a.x == b.x && a.y == b.y && a.z == b.z;
}

static bool event_same(const struct shot_event *a, const struct shot_event *b)
{
	return a->kind == b->kind && a->time == b->time && a->ball == b->ball &&
	       a->other == b->other && a->rail == b->rail && a->number == b->number &&
	       vector_same(a->position, b->position) && a->approach == b->approach;
}

static bool end_same(const struct ball_end *a, const struct ball_end *b)
{
	return a->pocketed == b->pocketed && vector_same(a->position, b->position) &&
	       a->rest_time == b->rest_time && a->still_time == b->still_time;
}

/* Records have gaps between their members, so they are compared member by member. */
static bool record_same(const struct shot_record *a, const struct shot_record *b)
{
	bool same = a->ending == b->ending && a->event_count == b->event_count &&
	            a->ball_count == b->ball_count;

	for (size_t k = 0; same && k < a->event_count; k++)
		same = event_same(&a->events[k], &b->events[k]);
	for (size_t i = 0; same && i < a->ball_count; i++)
		same = end_same(&a->ends[i], &b->ends[i]) && a->impacts[i] == b->impacts[i];
	return same;
}

START_TEST(records_are_those_of_single_plays)
{
	static const unsigned threads[] = {1, 2, 3, 7, 0};
	size_t events = 0;
	int misses = 0;

	draw_jobs();
	for (size_t i = 0; i < SHOTS; i++) {
		shot_play(jobs[i].scene, jobs[i].states, jobs[i].need, &alone[i]);
		events += alone[i].event_count;
	}
	for (size_t t = 0; t < sizeof threads / sizeof threads[0]; t++) {
		memset(together, 0xa5, sizeof together);
		ck_assert_int_eq(shot_batch_play(jobs, SHOTS, threads[t]), STATUS_OK);
		for (size_t i = 0; i < SHOTS; i++)
			misses += close_false("batch", (int)threads[t], "same record as alone",
			                      record_same(&alone[i], &together[i]));
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_uint_gt(events, 3 * SHOTS); /* they are no idle shots */
}
END_TEST

/* The comparison sees a last digit: the second ball is hit in full. */
START_TEST(records_that_differ_are_told_apart)
{
	struct shot_support shot;
	double radius;

	shot_support_start(&shot, 2);
	radius = shot.bodies[0].radius;
	shot.states[0] = shot_support_ball(0.4, 0.5, radius, 0.5 * M_PI, 1.7, 1.2, 0.3);
	shot.states[1].position = vector3_make(0.4, 0.9, radius);
	for (size_t i = 0; i < 2; i++)
		shot_play(&shot.scene, shot.states, NULL, &together[i]);
	ck_assert(record_same(&together[0], &together[1]));
	ck_assert_uint_ge(together[1].event_count, 1);
	together[1].events[0].approach = nextafter(together[1].events[0].approach, 100.0);
	ck_assert(!record_same(&together[0], &together[1]));
}
END_TEST

START_TEST(no_jobs_are_no_work)
{
	ck_assert_int_eq(shot_batch_play(NULL, 0, 3), STATUS_OK);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("many shots at once");
	TCase *batch = tcase_create("batch");

	tcase_add_test(batch, records_are_those_of_single_plays);
	tcase_add_test(batch, records_that_differ_are_told_apart);
	tcase_add_test(batch, no_jobs_are_no_work);
	suite_add_tcase(suite, batch);
	return close_run(suite);
}
