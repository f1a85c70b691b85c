/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "shot/contacts.h"
#include "shot_support.h"

/* Balls that touch: chains struck along their line, symmetric groups, a full rack. */

#define CASES 300
#define LONGEST 6
#define DIAMETER 0.05715
#define RADIUS 0.028575
#define MASS 0.163

/* A line of `count` balls in touch whose first one moves along it with speed v and spin. */
static void start_line(struct shot_support *shot, size_t count, double heading, double v,
                       double follow, double side)
{
	double c = cos(heading), s = sin(heading);

	shot_support_start(shot, count);
	for (size_t i = 0; i < count; i++)
		shot->states[i].position = vector3_make(0.635 + DIAMETER * (double)i * c,
		                                        1.27 + DIAMETER * (double)i * s, RADIUS);
	shot->states[0] = shot_support_ball(0.635, 1.27, RADIUS, heading, v, follow, side);
}

/* The contacts of one instant, from a state; the states after it in `after`. */
static void solve_instant(const struct shot_support *shot, struct ball_state *after)
{
	static struct shot_record record;
	static struct play play;

	memset(&play, 0, sizeof play);
	memset(&record, 0, sizeof record);
	play.scene = &shot->scene;
	play.need = &shot->need;
	play.record = &record;
	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		play.balls[i].on_table = true;
		play.balls[i].changed = true;
		play.balls[i].start = shot->states[i];
	}
	contacts_balls(&play, 0, 1);
	for (size_t i = 0; i < shot->scene.ball_count; i++)
		after[i] = play.balls[i].start;
}

static struct vector3 momentum(const struct ball_state *states, const struct ball_body *bodies,
                               size_t count)
{
	struct vector3 sum = {0.0, 0.0, 0.0};

	for (size_t i = 0; i < count; i++)
		sum = vector3_add(sum, vector3_scale(bodies[i].mass, states[i].velocity));
	return sum;
}

/* The velocities along a line of like balls after the first ran into the second: the pair with the
 * largest approach speed again and again (physics.md 3), each exchanging (1 + e) / 2 of it, until
 * none approaches by 1e-6 m/s. */
static void line_by_hand(double *v, size_t count, double e)
{
	for (;;) {
		size_t pair = 0;
		double fastest = 0.0, exchange, restitution;

		for (size_t i = 0; i + 1 < count; i++)
			if (v[i] - v[i + 1] > fastest) {
				fastest = v[i] - v[i + 1];
				pair = i;
			}
		if (fastest <= 1e-6)
			return;
		restitution = fastest < SHOT_SLOW ? 0.0 : e; /* play.h */
		exchange = 0.5 * (1.0 + restitution) * fastest;
		v[pair] -= exchange;
		v[pair + 1] += exchange;
	}
}

START_TEST(struck_line_keeps_its_momentum)
{
	struct random_stream stream = random_start(71359, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct shot_support shot;
		struct ball_state after[SHOT_BALLS];
		size_t count = (size_t)(3 + i % 4);
		double v = shot_support_between(&stream, 0.05, 6.0), along[LONGEST] = {v};
		double e = i % 5 == 0 ? 1.0 : shot_support_between(&stream, 0.8, 1.0);
		struct vector3 before, now;

		/* Along x, so that the line is straight to the last bit. */
		start_line(&shot, count, 0.0, v, 0.0, 0.0);
		shot.constants.value[BALL_RESTITUTION] = e;
		before = momentum(shot.states, shot.bodies, count);
		solve_instant(&shot, after);
		now = momentum(after, shot.bodies, count);
		line_by_hand(along, count, e);
		misses += close_miss("line", i, "momentum", before.x, now.x, 1e-12) +
		          close_miss("line", i, "momentum beside", 0.0, now.y, 1e-15);
		for (size_t k = 0; k < count; k++)
			misses +=
			    close_miss("line", i, "velocity", along[k], after[k].velocity.x, 1e-7) +
			    close_miss("line", i, "beside", 0.0, after[k].velocity.y, 1e-15);
		for (size_t k = 0; k + 1 < count; k++)
			misses +=
			    close_false("line", i, "no two approach",
			                after[k].velocity.x - after[k + 1].velocity.x <= 1e-6);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Restitution 1 and like balls: the last takes all, the others stand (Newton's cradle). */
START_TEST(last_ball_of_an_elastic_line_takes_all)
{
	for (size_t count = 3; count <= LONGEST; count++) {
		struct shot_support shot;
		struct ball_state after[SHOT_BALLS];

		start_line(&shot, count, 0.0, 1.7, 0.0, 0.0);
		shot.constants.value[BALL_RESTITUTION] = 1.0;
		solve_instant(&shot, after);
		for (size_t k = 0; k + 1 < count; k++)
			ck_assert_double_eq_tol(after[k].velocity.x, 0.0, 1e-14);
		ck_assert_double_eq_tol(after[count - 1].velocity.x, 1.7, 1e-14);
	}
}
END_TEST

/* A rolling ball runs into a line of 3 to 5 frozen ones along the middle of the table: everything
 * stays on that line, and the whole shot ends. */
START_TEST(straight_shot_into_a_frozen_line_stays_straight)
{
	for (size_t frozen = 3; frozen <= 5; frozen++)
		for (int spin = -1; spin <= 1; spin++) {
			struct shot_support shot;
			struct shot_record record;
			double v = 1.9;

			start_line(&shot, frozen + 1, 0.5 * M_PI, v, spin * v, 0.0);
			for (size_t i = 1; i <= frozen; i++)
				shot.states[i].position =
				    vector3_make(0.635, 1.4 + DIAMETER * (double)i, RADIUS);
			/* Exactly along y. */
			shot.states[0].velocity = vector3_make(0.0, v, 0.0);
			shot.states[0].position = vector3_make(0.635, 0.6, RADIUS);
			shot.states[0].spin = vector3_make(-spin * v / RADIUS, 0.0, 0.0);
			shot_support_play(&shot, NULL, &record);
			ck_assert_int_eq(record.ending, SHOT_COMPLETE);
			for (size_t i = 0; i <= frozen; i++)
				ck_assert_double_eq_tol(record.ends[i].position.x, 0.635, 1e-12);
			for (size_t i = 0; i < frozen; i++)
				ck_assert_double_ge(record.ends[i + 1].position.y -
				                        record.ends[i].position.y,
				                    DIAMETER - 1e-6);
		}
}
END_TEST

/* A ball that runs between two touching balls, square to them: they part as mirror images, and it
 * stays on the axis. Pairs of one approach speed are solved together (physics.md 3). */
START_TEST(two_balls_struck_at_once_part_as_mirror_images)
{
	struct random_stream stream = random_start(71359, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct shot_support shot;
		struct ball_state after[SHOT_BALLS];
		double v = shot_support_between(&stream, 0.1, 5.0), y = 1.0;

		shot_support_start(&shot, 3);
		shot.constants.value[BALL_RESTITUTION] = shot_support_between(&stream, 0.8, 1.0);
		shot.constants.value[BALL_FRICTION] = shot_support_between(&stream, 0.003, 0.25);
		shot.states[1].position = vector3_make(0.6 - RADIUS, y, RADIUS);
		shot.states[2].position = vector3_make(0.6 + RADIUS, y, RADIUS);
		shot.states[0] =
		    shot_support_ball(0.6, y - sqrt(3.0) * RADIUS, RADIUS, 0.5 * M_PI, v, 0.0, 0.0);
		shot.states[0].velocity.x = 0.0;
		shot.states[0].spin =
		    vector3_make(-shot_support_between(&stream, -1.0, 1.0) * v / RADIUS, 0.0, 0.0);
		solve_instant(&shot, after);
		misses +=
		    close_miss("pair", i, "on the axis", 0.0, after[0].velocity.x, 1e-12) +
		    close_miss("pair", i, "x", -after[1].velocity.x, after[2].velocity.x, 1e-12) +
		    close_miss("pair", i, "y", after[1].velocity.y, after[2].velocity.y, 1e-12) +
		    close_miss("pair", i, "wx", after[1].spin.x, after[2].spin.x, 1e-9) +
		    close_miss("pair", i, "wy", -after[1].spin.y, after[2].spin.y, 1e-9) +
		    close_miss("pair", i, "wz", -after[1].spin.z, after[2].spin.z, 1e-9) +
		    close_miss("pair", i, "momentum", v,
		               after[0].velocity.y + after[1].velocity.y + after[2].velocity.y,
		               1e-12);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Fifteen balls in a triangle, `gap` apart, and the cue ball at them. */
static void start_rack(struct shot_support *shot, double gap, double v, double heading, double side)
{
	double step = DIAMETER + gap;
	size_t next = 1;

	shot_support_start(shot, 16);
	shot->table.pockets = true;
	for (int row = 0; row < 5; row++)
		for (int k = 0; k <= row; k++)
			shot->states[next++].position =
			    vector3_make(0.635 + step * (k - 0.5 * row),
			                 1.905 + 0.5 * sqrt(3.0) * step * row, RADIUS);
	shot->states[0] = shot_support_ball(0.635, 0.635, RADIUS, heading, v, 0.8 * v, side * v);
}

/* The break: it ends, no two balls stand inside one another by anything that could be seen (pressed
 * balls may be inside by the way they go until they meet again), none outside the noses. */
START_TEST(rack_is_broken)
{
	static const double gaps[] = {0.0, 1e-9, 1e-7, 1e-5, 1e-4};
	struct random_stream stream = random_start(71359, 3);
	int misses = 0;

	for (int i = 0; i < 100; i++) {
		static struct shot_record record;
		struct shot_support shot;

		double v = shot_support_between(&stream, 1.0, 11.0);
		double heading = 0.5 * M_PI + 0.02 * random_normal(&stream);

		start_rack(&shot, gaps[i % 5], v, heading,
		           shot_support_between(&stream, -0.5, 0.5));
		shot_support_play(&shot, NULL, &record);
		if (record.ending != SHOT_COMPLETE) {
			fprintf(stderr, "rack %d, gap %g: ending %d at %.3f s\n", i, gaps[i % 5],
			        (int)record.ending, record.ends[0].rest_time);
			misses++;
		}
		for (size_t a = 0; a < 16; a++) {
			struct vector3 p = record.ends[a].position;

			misses +=
			    close_false("rack", i, "on the table",
			                p.x > RADIUS - 1e-9 && p.x < 1.27 - RADIUS + 1e-9 &&
			                    p.y > RADIUS - 1e-9 && p.y < 2.54 - RADIUS + 1e-9);
			for (size_t b = a + 1; b < 16; b++)
				if (!record.ends[a].pocketed && !record.ends[b].pocketed)
					misses += close_miss(
					    "rack", i, "overlap", 0.0,
					    fmax(0.0, DIAMETER - vector3_norm(vector3_subtract(
								     p, record.ends[b].position))),
					    1e-5);
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The most balls there are room for, all at once. */
START_TEST(twenty_two_balls)
{
	static struct shot_record record;
	struct shot_support shot;

	shot_support_start(&shot, SHOT_BALLS);
	shot.states[0] = shot_support_ball(0.1, 0.09, RADIUS, 0.8, 8.0, 8.0, 1.0);
	shot_support_play(&shot, NULL, &record);
	ck_assert_int_eq(record.ending, SHOT_COMPLETE);
	ck_assert_uint_eq(record.ball_count, SHOT_BALLS);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("balls that touch");
	TCase *chains = tcase_create("chains");

	tcase_add_test(chains, struck_line_keeps_its_momentum);
	tcase_add_test(chains, last_ball_of_an_elastic_line_takes_all);
	tcase_add_test(chains, straight_shot_into_a_frozen_line_stays_straight);
	tcase_add_test(chains, two_balls_struck_at_once_part_as_mirror_images);
	tcase_add_test(chains, rack_is_broken);
	tcase_add_test(chains, twenty_two_balls);
	suite_add_tcase(suite, chains);
	return close_run(suite);
}
