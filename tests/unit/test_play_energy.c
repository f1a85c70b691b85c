/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "shot/contacts.h"
#include "shot_support.h"

/* Energy never rises (physics.md 1 to 3: friction and restitution only take). The linker puts the
 * two functions below in the place of those that solve contacts (--wrap), so that the energy of all
 * balls is added up just before and just after every contact of a shot. */

#define SHOTS 10000
#define SLACK 1e-9 /* relative: the accuracy of a cushion impact's integration is 1e-8 of a speed */

bool __real_contacts_rail(struct play *play, size_t ball);
void __real_contacts_balls(struct play *play, size_t first, size_t second);
bool __wrap_contacts_rail(struct play *play, size_t ball);
void __wrap_contacts_balls(struct play *play, size_t first, size_t second);

/* What is watched during one shot. */
static struct {
	double energy; /* at the latest moment looked at [J] */
	double start;  /* at the strike [J] */
	double rise;   /* the largest rise, relative to the start */
	const char *where;
	long contacts; /* of all shots */
} watch;

static double total_energy(const struct play *play)
{
	double sum = 0.0;

	for (size_t i = 0; i < play->scene->ball_count; i++)
		if (play->balls[i].on_table) {
			struct ball_state state = play_state(play, i);

			sum += ball_energy(&state, &play->scene->bodies[i]);
		}
	return sum;
}

static void look(const struct play *play, const char *where)
{
	double energy = total_energy(play);
	double rise = (energy - watch.energy) / watch.start;

	if (!(rise <= watch.rise)) {
		watch.rise = rise;
		watch.where = where;
	}
	watch.energy = energy;
	watch.contacts++;
}

bool __wrap_contacts_rail(struct play *play, size_t ball)
{
	bool solved;

	look(play, "on the way to a rail");
	solved = __real_contacts_rail(play, ball);
	look(play, "at a rail");
	return solved;
}

void __wrap_contacts_balls(struct play *play, size_t first, size_t second)
{
	look(play, "on the way to another ball");
	__real_contacts_balls(play, first, second);
	look(play, "ball on ball");
}

/* Plays one shot; 1 for a rise of energy or a bad ending. */
static int check_shot(int i, const struct shot_support *shot)
{
	struct shot_record record;
	int misses = 0;

	watch.start = 0.0;
	for (size_t k = 0; k < shot->scene.ball_count; k++)
		watch.start += ball_energy(&shot->states[k], &shot->bodies[k]);
	watch.energy = watch.start;
	watch.rise = 0.0;
	shot_support_play(shot, NULL, &record);
	if (watch.rise > SLACK) {
		fprintf(stderr, "shot %d (%zu balls): energy rises by %.3g of the start %s\n", i,
		        shot->scene.ball_count, watch.rise, watch.where);
		misses++;
	}
	if (record.ending != SHOT_COMPLETE) {
		fprintf(stderr, "shot %d: ending %d after %zu contacts\n", i, (int)record.ending,
		        record.event_count);
		misses++;
	}
	return misses;
}

/* Any stroke of one to three balls, constants anywhere within their limits, with and without
 * pockets. */
START_TEST(energy_never_rises)
{
	struct random_stream stream = random_start(417733, 1);
	int misses = 0;

	for (int i = 0; i < SHOTS; i++) {
		struct shot_support shot;

		shot_support_start(&shot, (size_t)(1 + i % 3));
		shot.table.pockets = i % 4 == 0;
		shot_support_draw_constants(&stream, &shot.constants);
		shot_support_draw_shot(&stream, &shot);
		misses += check_shot(i, &shot);
	}
	printf("energy: %ld states looked at\n", watch.contacts);
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(watch.contacts, 4L * SHOTS);
}
END_TEST

/* A usual table, on which balls run farther and meet more. */
START_TEST(energy_never_rises_on_a_usual_table)
{
	struct random_stream stream = random_start(417733, 3);
	int misses = 0;

	watch.contacts = 0;
	for (int i = 0; i < SHOTS / 4; i++) {
		struct shot_support shot;

		shot_support_start(&shot, (size_t)(1 + i % 8));
		shot_support_draw_shot(&stream, &shot);
		misses += check_shot(i, &shot);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(watch.contacts, 2L * SHOTS);
}
END_TEST

/* The same with balls that touch from the start, and rails at hand: pressed balls and frozen
 * ones. */
START_TEST(energy_never_rises_with_frozen_balls)
{
	struct random_stream stream = random_start(417733, 2);
	int misses = 0;

	for (int i = 0; i < SHOTS / 4; i++) {
		struct shot_support shot;
		double way = shot_support_between(&stream, -M_PI, M_PI);
		double radius, x, y;

		shot_support_start(&shot, 3);
		radius = shot.bodies[0].radius;
		shot_support_draw_constants(&stream, &shot.constants);
		shot_support_draw_shot(&stream, &shot);
		/* The struck ball stands against the second, which may be frozen to a rail; the
		 * third is in the way or not. */
		x = i % 2 == 0 ? radius : 0.4;
		y = shot_support_between(&stream, 0.3, 2.2);
		shot.states[1].position = vector3_make(x, y, radius);
		way = i % 2 == 0 ? 0.5 * way : way;
		shot.states[0].position =
		    vector3_make(x + 2.0 * radius * cos(way), y + 2.0 * radius * sin(way), radius);
		shot.states[2].position = vector3_make(1.1, 1.9, radius);
		misses += check_shot(i, &shot);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("energy of played shots");
	TCase *energy = tcase_create("energy");

	tcase_add_test(energy, energy_never_rises);
	tcase_add_test(energy, energy_never_rises_on_a_usual_table);
	tcase_add_test(energy, energy_never_rises_with_frozen_balls);
	suite_add_tcase(suite, energy);
	return close_run(suite);
}
