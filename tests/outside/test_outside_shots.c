/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <stdlib.h>
#include <string.h>

#include "outside_draw.h"
#include "outside_solver.h"
#include "physics/cue.h"
#include "shot/play.h"

/* Whole shots of the program against the same shots played by the outside reference: every event,
 * its order, place and time, and every rest. Where a shot amplifies a change of its launch by 1000
 * or more, nothing is compared. OUTSIDE_SHOTS sets how many shots are played, OUTSIDE_FIRST the
 * first; every eighth has the optional terms of the model as well. */

#define SHOTS 400
#define TOLERANCE 1e-6          /* diamonds */
#define TIME_TOLERANCE 1e-6     /* [s] */
#define APPROACH_TOLERANCE 1e-6 /* [m/s] */
#define GROWTH_MOST 1e3
#define NUDGE 1e-7 /* of the launch: relative speed, or direction [rad] */
#define IMPACT_TOLERANCE 1e-11

struct tally {
	int played, compared, grown, changed, pressed, misses;
	double worst, worst_time, worst_strike;
	double *each; /* disagreement of each compared shot, diamonds */
	long events, rails, meetings, pockets, uncounted;
};

static void strike(const struct outside_shot *shot, struct ball_state *state)
{
	struct stroke stroke = {.speed = shot->speed,
	                        .height = shot->height,
	                        .side = shot->side,
	                        .elevation = shot->elevation};

	cue_strike(&stroke, shot->aim, shot->end_mass_ratio, 0.0, &shot->bodies[0], state);
}

static void play_engine(const struct outside_shot *shot, const struct ball_state *states,
                        struct shot_record *record)
{
	struct shot_scene scene = {.table = &shot->table,
	                           .constants = &shot->constants,
	                           .ball_count = shot->count,
	                           .bodies = shot->bodies,
	                           .tolerance = IMPACT_TOLERANCE};
	struct shot_need need = {.everything = true};

	shot_play(&scene, states, &need, record);
}

static bool same_event(const struct shot_event *a, const struct shot_event *b)
{
	return a->kind == b->kind && a->ball == b->ball && a->other == b->other &&
	       a->rail == b->rail && a->number == b->number;
}

/* The largest way that any event or end moved, over the nudge [m]; HUGE_VAL when other events
 * happen. */
static double growth_of(const struct shot_record *plain, const struct shot_record *nudged)
{
	double most = 0.0;

	if (plain->event_count != nudged->event_count)
		return HUGE_VAL;
	for (size_t k = 0; k < plain->event_count; k++) {
		if (!same_event(&plain->events[k], &nudged->events[k]))
			return HUGE_VAL;
		most = fmax(most, vector3_norm(vector3_subtract(plain->events[k].position,
		                                                nudged->events[k].position)));
	}
	for (size_t i = 0; i < plain->ball_count; i++)
		most = fmax(most, vector3_norm(vector3_subtract(plain->ends[i].position,
		                                                nudged->ends[i].position)));
	return most / NUDGE;
}

/* How a small change of speed or direction of the launch grows, in metres per unit of the relative
 * speed or per radian. */
static double find_growth(const struct outside_shot *shot, const struct ball_state *states,
                          const struct shot_record *record)
{
	double growth = 0.0;

	for (int way = 0; way < 4; way++) {
		struct ball_state nudged[OUTSIDE_BALLS];
		struct outside_shot other = *shot;
		struct shot_record moved;
		double by = way % 2 == 0 ? NUDGE : -NUDGE;

		memcpy(nudged, states, sizeof nudged);
		if (way < 2)
			other.speed *= 1.0 + by;
		else
			other.aim += by;
		strike(&other, &nudged[0]);
		play_engine(&other, nudged, &moved);
		growth = fmax(growth, growth_of(record, &moved));
	}
	return growth;
}

static double diamonds_between(const struct table *table, struct vector3 a, struct vector3 b)
{
	struct vector3 way = vector3_subtract(a, b);

	return fmax(fabs(table_short_to_diamonds(table, way.x)),
	            fabs(table_long_to_diamonds(table, way.y)));
}

static bool same_kind(const struct outside_event *wanted, const struct shot_event *got)
{
	switch (wanted->kind) {
	case OUTSIDE_RAIL:
		return got->kind == EVENT_RAIL && wanted->rail == got->rail;
	case OUTSIDE_POCKET:
		return got->kind == EVENT_POCKET && wanted->rail == got->rail;
	default:
		return got->kind == EVENT_BALLS;
	}
}

static int compare_event(int row, const struct outside_event *wanted, const struct shot_event *got)
{
	return close_false("shot", row, "same kind of event", same_kind(wanted, got)) +
	       close_false("shot", row, "same ball", wanted->ball == got->ball) +
	       close_false("shot", row, "same other ball", wanted->other == got->other) +
	       close_miss("shot", row, "number", wanted->number, got->number, 0.0) +
	       close_miss("shot", row, "time of event", wanted->time, got->time, TIME_TOLERANCE) +
	       close_miss("shot", row, "approach", wanted->approach, got->approach,
	                  APPROACH_TOLERANCE);
}

static int compare_ends(int row, const struct outside_shot *shot,
                        const struct outside_record *wanted, const struct shot_record *got,
                        struct tally *tally, double *off)
{
	int misses = 0;

	for (size_t i = 0; i < shot->count; i++) {
		const struct outside_end *a = &wanted->ends[i];
		const struct ball_end *b = &got->ends[i];

		misses += close_false("shot", row, "same pocketed", a->pocketed == b->pocketed) +
		          close_miss("shot", row, "time of rest", a->rest_time, b->rest_time,
		                     TIME_TOLERANCE) +
		          close_miss("shot", row, "time of being still", a->still_time,
		                     b->still_time, TIME_TOLERANCE);
		tally->worst_time = fmax(tally->worst_time, fabs(a->rest_time - b->rest_time));
		*off = fmax(*off, diamonds_between(&shot->table, a->position, b->position));
	}
	return misses;
}

static int compare(int row, const struct outside_shot *shot, const struct outside_record *wanted,
                   const struct shot_record *got, struct tally *tally)
{
	int misses = close_miss("shot", row, "events", (double)wanted->event_count,
	                        (double)got->event_count, 0.0) +
	             close_miss("shot", row, "outcome", OUTSIDE_PLAYED, wanted->outcome, 0.0) +
	             close_miss("shot", row, "ending", SHOT_COMPLETE, got->ending, 0.0);
	double off = 0.0;

	for (size_t k = 0; misses == 0 && k < got->event_count; k++) {
		misses += compare_event(row, &wanted->events[k], &got->events[k]);
		off = fmax(off, diamonds_between(&shot->table, wanted->events[k].position,
		                                 got->events[k].position));
		tally->worst_time =
		    fmax(tally->worst_time, fabs(wanted->events[k].time - got->events[k].time));
		tally->events++;
		tally->rails += wanted->events[k].kind == OUTSIDE_RAIL;
		tally->pockets += wanted->events[k].kind == OUTSIDE_POCKET;
		tally->meetings += wanted->events[k].kind == OUTSIDE_MEETING;
		tally->uncounted +=
		    wanted->events[k].kind == OUTSIDE_RAIL && wanted->events[k].number == 0;
	}
	if (misses == 0)
		misses += compare_ends(row, shot, wanted, got, tally, &off);
	misses += close_miss("shot", row, "places, diamonds", 0.0, off, TOLERANCE);
	tally->worst = fmax(tally->worst, off);
	tally->each[tally->compared++] = off;
	return misses;
}

static void play_shot(int row, const struct outside_shot *shot, struct outside_player *player,
                      struct tally *tally)
{
	struct outside_scene scene = {&shot->table, &shot->constants, shot->bodies};
	struct ball_state states[OUTSIDE_BALLS], struck[OUTSIDE_BALLS];
	struct outside_record wanted;
	struct shot_record got;
	double growth, strike_off;

	memcpy(states, shot->states, sizeof states);
	memcpy(struck, shot->states, sizeof struck);
	strike(shot, &states[0]);
	outside_strike(shot->speed, shot->aim, shot->side, shot->height, shot->elevation,
	               shot->end_mass_ratio, shot->bodies[0].radius, &struck[0]);
	strike_off = fmax(vector3_norm(vector3_subtract(states[0].velocity, struck[0].velocity)),
	                  shot->bodies[0].radius *
	                      vector3_norm(vector3_subtract(states[0].spin, struck[0].spin)));
	tally->misses += close_miss("shot", row, "strike", 0.0, strike_off, 1e-13 * shot->speed);
	tally->worst_strike = fmax(tally->worst_strike, strike_off);
	play_engine(shot, states, &got);
	outside_player_play(player, &scene, struck, &wanted);
	tally->played++;
	growth = find_growth(shot, states, &got);
	if (wanted.pressed) {
		tally->pressed++;
	} else if (growth >= GROWTH_MOST) {
		tally->grown++;
		tally->changed += growth == HUGE_VAL;
	} else {
		tally->misses += compare(row, shot, &wanted, &got, tally);
	}
}

static int ascending(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return (x > y) - (x < y);
}

static void print_tally(struct tally *tally)
{
	double left_out = 100.0 * (tally->played - tally->compared) / tally->played;

	qsort(tally->each, (size_t)tally->compared, sizeof *tally->each, ascending);
	printf("%d shots, %d compared, %.1f %% left out: %d grow by %g or more (%d of them to "
	       "other events), %d press balls together\n",
	       tally->played, tally->compared, left_out, tally->grown, GROWTH_MOST, tally->changed,
	       tally->pressed);
	printf("events compared: %ld rails (%ld uncounted), %ld meetings, %ld pockets\n",
	       tally->rails, tally->uncounted, tally->meetings, tally->pockets);
	printf(
	    "disagreement, diamonds: worst %.2g, median %.2g; times: worst %.2g s; strike: worst "
	    "%.2g m/s\n",
	    tally->worst, tally->each[tally->compared / 2], tally->worst_time, tally->worst_strike);
}

static int asked(const char *name, int otherwise)
{
	const char *value = getenv(name);

	return value != NULL ? atoi(value) : otherwise;
}

START_TEST(random_shots_agree)
{
	struct outside_accuracy proof = OUTSIDE_PROOF;
	struct outside_player *players[3];
	int count = asked("OUTSIDE_SHOTS", SHOTS), first = asked("OUTSIDE_FIRST", 0);
	struct tally tally = {.played = 0};

	tally.each = calloc((size_t)count, sizeof *tally.each);
	ck_assert_ptr_nonnull(tally.each);
	for (size_t i = 0; i < 3; i++)
		ck_assert_ptr_nonnull(players[i] = outside_player_open(i + 1, &proof));
	for (int row = first; row < first + count; row++) {
		struct random_stream stream = random_start(20261, (uint64_t)row);
		struct outside_shot shot;

		outside_draw_shot(&stream, row, &shot);
		if (row % 8 == 7)
			outside_draw_terms(&stream, &shot);
		play_shot(row, &shot, players[shot.count - 1], &tally);
	}
	for (size_t i = 0; i < 3; i++)
		outside_player_close(players[i]);
	print_tally(&tally);
	free(tally.each);
	ck_assert_int_eq(tally.misses, 0);
	/* Most shots do not grow so much, or the proof would be empty. */
	ck_assert_int_ge(5 * tally.compared, 3 * tally.played);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("outside shots");
	TCase *tests = tcase_create("random");

	tcase_set_timeout(tests, 0);
	tcase_add_test(tests, random_shots_agree);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
