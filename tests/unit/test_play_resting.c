/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "physics/cushion.h"
#include "shot/contacts.h"
#include "shot_support.h"

/* Balls that lie at a rail or in touch with others: no contact by rounding, no start with balls in
 * one place, and rounds of contacts count towards the end of patience. */

#define RADIUS 0.028575

/* The four rails, each along both ways: where the ball lies, its heading in quarter turns, the rail
 * at the end of its way. */
struct along_rail {
	enum rail rail, end;
	int quarters;
};

static const struct along_rail ways[] = {
    {RAIL_LEFT, RAIL_FOOT, 1},  {RAIL_LEFT, RAIL_HEAD, -1}, {RAIL_RIGHT, RAIL_FOOT, 1},
    {RAIL_RIGHT, RAIL_HEAD, 3}, {RAIL_HEAD, RAIL_RIGHT, 0}, {RAIL_HEAD, RAIL_LEFT, 2},
    {RAIL_FOOT, RAIL_RIGHT, 4}, {RAIL_FOOT, RAIL_LEFT, -2},
};

static void put_at_rail(struct shot_support *shot, const struct along_rail *way, double v,
                        double follow)
{
	double line = table_frozen_line(&shot->table, way->rail, RADIUS);

	shot->states[0] =
	    shot_support_ball(0.61, 1.13, RADIUS, 0.5 * M_PI * way->quarters, v, follow, 0.0);
	if (rail_is_long(way->rail))
		shot->states[0].position.x = line;
	else
		shot->states[0].position.y = line;
}

/* A ball frozen to a rail and sent straight along it: the sine or cosine of the heading is some
 * 1e-16 off zero, into the rail or away from it, and so is what each rebound from an end rail leaves
 * across it (1e-10). By geometry its first contact is with the rail at the end of its way, and it
 * never meets the one that it lies at. */
START_TEST(ball_sent_along_its_rail_does_not_meet_it)
{
	int misses = 0, into = 0;

	for (int i = 0; i < 64; i++) {
		const struct along_rail *way = &ways[i % 8];
		struct shot_support shot;
		struct shot_record record;
		double v = 1.3 + 0.11 * i, line;

		shot_support_start(&shot, 1);
		put_at_rail(&shot, way, v, i % 3 * 0.5 * v);
		into += cushion_to_rail(way->rail, shot.states[0].velocity).y > 0.0;
		shot_support_play(&shot, NULL, &record);
		line = table_frozen_line(&shot.table, way->rail, RADIUS);
		misses += close_false("along", i, "complete", record.ending == SHOT_COMPLETE) +
		          close_false("along", i, "meets a rail", record.event_count > 0);
		for (size_t k = 0; k < record.event_count; k++)
			misses += close_false("along", i, "an end rail",
			                      record.events[k].rail != way->rail);
		misses +=
		    close_false("along", i, "at the end of the way",
		                record.events[0].rail == way->end && record.events[0].number == 1) +
		    close_miss("along", i, "still at its rail", line,
		               rail_is_long(way->rail) ? record.events[0].position.x
		                                       : record.events[0].position.y,
		               1e-12);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(into, 8);
}
END_TEST

/* The same ball struck into its rail at more than SHOT_SLOW is sent back, and that counts. */
START_TEST(ball_struck_into_its_rail_meets_it)
{
	struct shot_support shot;
	struct shot_record record;

	shot_support_start(&shot, 1);
	put_at_rail(&shot, &ways[0], 1.7, 0.0);
	shot.states[0].velocity.x = -0.0071;
	shot_support_play(&shot, NULL, &record);
	ck_assert_int_eq(record.ending, SHOT_COMPLETE);
	ck_assert_int_eq(record.events[0].rail, RAIL_LEFT);
	ck_assert_int_eq(record.events[0].number, 1);
	ck_assert_double_eq(record.events[0].time, 0.0);
}
END_TEST

/* Two of three balls `apart` times the sum of their radii from one another. */
static enum shot_ending play_crowd(double apart, bool all)
{
	struct shot_support shot;
	struct shot_record record;
	const bool present[3] = {true, true, all};

	shot_support_start(&shot, 3);
	shot.states[0] = shot_support_ball(0.3, 0.5, RADIUS, 0.7, 1.9, 0.4, 0.0);
	shot.states[2].position = shot.states[1].position;
	shot.states[2].position.x += apart * 2.0 * RADIUS * 0.6;
	shot.states[2].position.y -= apart * 2.0 * RADIUS * 0.8;
	shot.scene.present = present;
	shot_support_play(&shot, NULL, &record);
	return record.ending;
}

/* play.h: a start with a centre within half the sum of the radii of another is SHOT_BROKEN. */
START_TEST(balls_in_one_place_are_refused)
{
	ck_assert_int_eq(play_crowd(0.0, true), SHOT_BROKEN);
	ck_assert_int_eq(play_crowd(0.499, true), SHOT_BROKEN);
	ck_assert_int_eq(play_crowd(0.501, true), SHOT_COMPLETE);
	ck_assert_int_eq(play_crowd(0.499, false), SHOT_COMPLETE);
	ck_assert_int_eq(play_crowd(0.0, false), SHOT_COMPLETE);
}
END_TEST

/* Solves the contacts of a line of six balls whose first moves along it, `before` rounds having been
 * spent; returns how many have been after it. */
static int solve_line(int before, double *last)
{
	static struct shot_record record;
	static struct play play;
	struct shot_support shot;

	shot_support_start(&shot, 6);
	memset(&play, 0, sizeof play);
	memset(&record, 0, sizeof record);
	play.scene = &shot.scene;
	play.need = &shot.need;
	play.record = &record;
	play.rounds = before;
	for (size_t i = 0; i < 6; i++) {
		play.balls[i].on_table = play.balls[i].changed = true;
		play.balls[i].start = shot.states[i];
		play.balls[i].start.position =
		    vector3_make(0.3 + 2.0 * RADIUS * (double)i, 1.0, RADIUS);
	}
	play.balls[0].start.velocity.x = 1.7;
	contacts_balls(&play, 0, 1);
	*last = play.balls[5].start.velocity.x;
	return play.rounds;
}

/* Five meetings at least bring the motion to the last ball. Each is a round, and none is solved
 * beyond SHOT_EVENT_CAP: the third ball is the last that moves when three are left. */
START_TEST(rounds_of_contacts_count_towards_the_cap)
{
	double last;

	ck_assert_int_ge(solve_line(0, &last), 5);
	ck_assert_double_gt(last, 1.0);
	ck_assert_int_eq(solve_line(SHOT_EVENT_CAP - 3, &last), SHOT_EVENT_CAP);
	ck_assert_double_eq(last, 0.0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("balls that rest");
	TCase *resting = tcase_create("resting");

	tcase_add_test(resting, ball_sent_along_its_rail_does_not_meet_it);
	tcase_add_test(resting, ball_struck_into_its_rail_meets_it);
	tcase_add_test(resting, balls_in_one_place_are_refused);
	tcase_add_test(resting, rounds_of_contacts_count_towards_the_cap);
	suite_add_tcase(suite, resting);
	return close_run(suite);
}
