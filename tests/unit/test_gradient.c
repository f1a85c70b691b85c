/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "shot/gradient.h"
#include "shot_support.h"

/* Derivatives of played shots against central differences of plays whose impacts are solved to
 * 1e-12, extrapolated to a step of zero (Richardson 1911) with an estimate of their error. Where
 * that is above 1e-7, by rounding or by another course of events nearby, the differences cannot
 * tell. That must be rare, also among shots that amplify changes a thousandfold. */

#define SHOTS 250
#define EVENTS 12         /* compared */
#define STEP 2.56e-3      /* the longest */
#define ROUNDS 16         /* steps, each half of the one before */
#define AGREE 1e-6        /* of the largest derivative of the shot in the direction */
#define SETTLED 1e-7      /* error estimate of differences that tell, likewise */
#define WELL_SETTLED 1e-8 /* that makes shorter steps needless */
#define SELDOM 0.001      /* share of comparisons in which they may not tell */
#define NUMBERS (3 * EVENTS + 4 * 3)

static struct rail_irregularity irregular[3][SHOT_IRREGULAR];
static struct rail_character rails[RAIL_COUNT];

/* The directions of the test: each part of the struck ball's state, each constant, the terms, grips
 * irregular impacts and rails. */
static void set_directions(struct shot_gradient *gradient, size_t balls)
{
	struct shot_direction *next = gradient->directions;

	for (size_t i = 0; i < balls; i++)
		for (int part = 0; part < STATE_PARTS; part++)
			gradient->balls[i].part[part] = (struct gradient_row){0};
	for (int part = 0; part < STATE_PARTS; part++) {
		gradient_set(&gradient->balls[0].part[part], part, 1.0);
		*next++ = (struct shot_direction){.kind = DIRECTION_STATE};
	}
	for (int id = 0; id < CONSTANT_COUNT; id++)
		*next++ = (struct shot_direction){.kind = DIRECTION_CONSTANT,
		                                  .constant = (enum constant_id)id};
	for (int term = TERM_SLOPE_LONG; term <= TERM_NAP; term++)
		*next++ =
		    (struct shot_direction){.kind = DIRECTION_TERM, .term = (enum term_id)term};
	for (size_t i = 0; i < 2; i++)
		*next++ = (struct shot_direction){.kind = DIRECTION_GRIP, .ball = i};
	for (unsigned k = 0; k < 4; k++) {
		*next++ = (struct shot_direction){
		    .kind = DIRECTION_LIVELINESS, .ball = k % 2, .impact = k / 2};
		*next++ =
		    (struct shot_direction){.kind = DIRECTION_TURN, .ball = k % 2, .impact = k / 2};
	}
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		*next++ = (struct shot_direction){.kind = DIRECTION_RAIL_LIVELINESS,
		                                  .rail = (enum rail)rail};
		*next++ = (struct shot_direction){.kind = DIRECTION_RAIL_GRIP,
		                                  .rail = (enum rail)rail};
	}
	gradient->count = (int)(next - gradient->directions);
}

static double *moved_term(struct shot_support *shot, enum term_id term, double *size)
{
	struct constant_terms *terms = &shot->constants.terms;
	double *const numbers[] = {[TERM_SLOPE_LONG] = &terms->slope_long,
	                           [TERM_SLOPE_SHORT] = &terms->slope_short,
	                           [TERM_LIVELINESS_FALL] = &terms->liveliness_fall,
	                           [TERM_BALL_FRICTION_FALL] = &terms->ball_friction_fall,
	                           [TERM_NAP] = &terms->nap_long};

	*size = term == TERM_SLOPE_LONG || term == TERM_SLOPE_SHORT || term == TERM_NAP ? 0.01 : 1.0;
	return numbers[term];
}

/* The number that a direction moves, and a size of it. */
static double *moved_number(struct shot_support *shot, const struct shot_direction *direction,
                            int index, double *size)
{
	struct ball_state *state = &shot->states[0];
	double *parts[STATE_PARTS] = {&state->position.x, &state->position.y, &state->velocity.x,
	                              &state->velocity.y, &state->spin.x,     &state->spin.y,
	                              &state->spin.z};
	static const double sizes[STATE_PARTS] = {0.3, 0.3, 1.0, 1.0, 30.0, 30.0, 30.0};

	*size = 1.0;
	switch (direction->kind) {
	case DIRECTION_STATE:
		*size = sizes[index];
		return parts[index];
	case DIRECTION_CONSTANT:
		*size = shot->constants.value[direction->constant];
		return &shot->constants.value[direction->constant];
	case DIRECTION_TERM:
		return moved_term(shot, direction->term, size);
	case DIRECTION_GRIP:
		return &shot->bodies[direction->ball].grip;
	case DIRECTION_LIVELINESS:
		return &irregular[direction->ball][direction->impact].liveliness;
	case DIRECTION_RAIL_LIVELINESS:
		return &rails[direction->rail].liveliness;
	case DIRECTION_RAIL_GRIP:
		return &rails[direction->rail].grip;
	case DIRECTION_TURN:
		break;
	}
	return &irregular[direction->ball][direction->impact].turn;
}

static void numbers_of(const struct shot_record *record, double numbers[NUMBERS])
{
	memset(numbers, 0, NUMBERS * sizeof *numbers);
	for (size_t k = 0; k < record->event_count && k < EVENTS; k++) {
		numbers[3 * k] = record->events[k].time;
		numbers[3 * k + 1] = record->events[k].position.x;
		numbers[3 * k + 2] = record->events[k].position.y;
	}
	for (size_t i = 0; i < record->ball_count; i++) {
		double *end = numbers + 3 * EVENTS + 4 * i;

		end[0] = record->ends[i].position.x;
		end[1] = record->ends[i].position.y;
		end[2] = record->ends[i].rest_time;
		end[3] = record->ends[i].still_time;
	}
}

static void slopes_of(const struct shot_record *record, const struct shot_gradient *gradient,
                      int direction, double slopes[NUMBERS])
{
	memset(slopes, 0, NUMBERS * sizeof *slopes);
	for (size_t k = 0; k < record->event_count && k < EVENTS; k++) {
		const struct gradient_event *event = &gradient->events[k];

		slopes[3 * k] = gradient_at(&event->time, direction);
		slopes[3 * k + 1] = gradient_at(&event->x, direction);
		slopes[3 * k + 2] = gradient_at(&event->y, direction);
	}
	for (size_t i = 0; i < record->ball_count; i++) {
		const struct gradient_end *end = &gradient->ends[i];
		double *slope = slopes + 3 * EVENTS + 4 * i;

		slope[0] = gradient_at(&end->x, direction);
		slope[1] = gradient_at(&end->y, direction);
		slope[2] = gradient_at(&end->rest_time, direction);
		slope[3] = gradient_at(&end->still_time, direction);
	}
}

static bool same_course(const struct shot_record *a, const struct shot_record *b)
{
	bool same = a->event_count == b->event_count && a->ending == b->ending;

	for (size_t k = 0; same && k < a->event_count; k++)
		same = a->events[k].kind == b->events[k].kind &&
		       a->events[k].ball == b->events[k].ball &&
		       a->events[k].other == b->events[k].other &&
		       a->events[k].rail == b->events[k].rail &&
		       a->events[k].number == b->events[k].number;
	for (size_t i = 0; same && i < a->ball_count; i++)
		same = a->impacts[i] == b->impacts[i];
	return same;
}

/* Central difference over one step; false when the course of events is another. */
static bool difference(struct shot_support *shot, const struct shot_record *middle, double *number,
                       double step, double out[NUMBERS])
{
	double up[NUMBERS], down[NUMBERS], before = *number;
	struct shot_record record;
	bool same;

	*number = before + step;
	shot_support_play(shot, NULL, &record);
	same = same_course(middle, &record);
	numbers_of(&record, up);
	*number = before - step;
	shot_support_play(shot, NULL, &record);
	same = same && same_course(middle, &record);
	numbers_of(&record, down);
	*number = before;
	for (int k = 0; k < NUMBERS; k++)
		out[k] = (up[k] - down[k]) / (2.0 * step);
	return same;
}

/* What became of the comparisons. */
struct tally {
	int compared, unsettled, wrong;
	double worst;
};

static double largest(const double *numbers, const double *others)
{
	double most = 0.0;

	for (int k = 0; k < NUMBERS; k++)
		most = fmax(most, fabs(numbers[k] - (others != NULL ? others[k] : 0.0)));
	return most;
}

/* Row of a table of extrapolations: column m is free of errors of the first m even powers. The best
 * entry is the one that is nearest to those that it was made of. */
struct extrapolations {
	int count;
	double column[ROUNDS][NUMBERS];
	double best[NUMBERS], error;
};

/* The row for half the step of the one before. */
static void extrapolate(const struct extrapolations *before, struct extrapolations *row)
{
	double factor = 1.0;

	row->count = before->count + 1;
	row->error = HUGE_VAL;
	for (int m = 1; m < row->count; m++) {
		const double *coarse = before->column[m - 1], *fine = row->column[m - 1];
		double off;

		factor *= 4.0;
		for (int k = 0; k < NUMBERS; k++)
			row->column[m][k] = fine[k] + (fine[k] - coarse[k]) / (factor - 1.0);
		off = fmax(largest(row->column[m], fine), largest(row->column[m], coarse));
		if (off < row->error) {
			row->error = off;
			memcpy(row->best, row->column[m], sizeof row->best);
		}
	}
}

/* Extrapolated differences; returns an estimate of their error, for which two rows have to agree:
 * rounding brings single entries close to one another by chance. Steps within which the course of
 * events changes are left out; HUGE_VAL when too few remain. */
static double settle(struct shot_support *shot, const struct shot_record *record, double *number,
                     double size, double scale, double best[NUMBERS])
{
	struct extrapolations rows[2] = {{.count = 0}, {.count = 0}};
	double error = HUGE_VAL;

	for (int i = 0; i < ROUNDS && error > WELL_SETTLED * scale; i++) {
		struct extrapolations *row = &rows[i % 2], *before = &rows[1 - i % 2];
		double doubt;

		if (!difference(shot, record, number, ldexp(STEP * size, -i), row->column[0])) {
			row->count = 0;
			continue;
		}
		extrapolate(before, row);
		if (row->count < 3)
			continue;
		doubt = fmax(largest(row->best, before->best), fmax(row->error, before->error));
		if (doubt < error) {
			error = doubt;
			memcpy(best, row->best, sizeof row->best);
		}
	}
	return error;
}

static void compare(struct shot_support *shot, const struct shot_record *record,
                    const struct shot_gradient *gradient, int direction, struct tally *tally)
{
	double wanted[NUMBERS], slopes[NUMBERS], size, scale, off;
	double *number = moved_number(shot, &gradient->directions[direction], direction, &size);

	slopes_of(record, gradient, direction, slopes);
	scale = fmax(largest(slopes, NULL), 1e-3 / size);
	tally->compared++;
	if (!(settle(shot, record, number, size, scale, wanted) <= SETTLED * scale)) {
		tally->unsettled++;
		return;
	}
	off = largest(slopes, wanted) / scale;
	tally->worst = fmax(tally->worst, off);
	if (!(off <= AGREE)) {
		tally->wrong++;
		fprintf(stderr, "direction %d: off by %.2e of %.3g\n", direction, off, scale);
	}
}

static void draw(struct random_stream *stream, struct shot_support *shot, size_t balls)
{
	static const struct rail_character uneven[RAIL_COUNT] = {
	    {-0.023, 0.87}, {0.011, 1.12}, {0.017, 0.94}, {-0.008, 1.07}};

	shot_support_start(shot, balls);
	shot_support_draw_shot(stream, shot);
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double scaled =
		    constant_to_scale((enum constant_id)id, shot->constants.value[id]) +
		    0.7 * constant_prior((enum constant_id)id)->spread * random_normal(stream);

		shot->constants.value[id] = constant_from_scale((enum constant_id)id, scaled);
	}
	shot->constants.terms.liveliness_fall = 0.0137;
	shot->constants.terms.ball_friction_fall = 0.113;
	shot->bodies[1].grip = 0.83;
	memcpy(rails, uneven, sizeof rails);
	shot->scene.rails = rails;
	shot->scene.irregular = irregular;
	shot->scene.tolerance = 1e-12;
	for (int i = 0; i < 3; i++)
		for (int k = 0; k < SHOT_IRREGULAR; k++)
			irregular[i][k] = (struct rail_irregularity){0.01 * random_normal(stream),
			                                             0.004 * random_normal(stream)};
}

/* Shots on a bed of a slope, compared in all directions; on a level bed the derivatives by the
 * slope itself and by the nap are not asked for: its motion is computed as if there could be none. */
static struct tally compare_shots(uint64_t seed, double slope)
{
	struct random_stream stream = random_start(90127, seed);
	struct shot_gradient *gradient = calloc(1, sizeof *gradient);
	struct tally tally = {0};

	ck_assert_ptr_nonnull(gradient);
	for (int i = 0; i < SHOTS; i++) {
		struct shot_record record, plain;
		struct shot_support shot;
		size_t balls = 1 + (size_t)i % 3;

		draw(&stream, &shot, balls);
		shot.constants.terms.slope_long = slope;
		shot.constants.terms.slope_short = -0.83 * slope;
		shot.constants.terms.nap_long = 0.37 * slope;
		shot_support_play(&shot, NULL, &plain);
		set_directions(gradient, balls);
		shot_play_gradient(&shot.scene, shot.states, &shot.need, &record, gradient);
		ck_assert(gradient->complete);
		ck_assert(same_course(&plain, &record));
		for (int j = 0; j < gradient->count; j++)
			if (slope != 0.0 || gradient->directions[j].kind != DIRECTION_TERM ||
			    (gradient->directions[j].term > TERM_SLOPE_SHORT &&
			     gradient->directions[j].term != TERM_NAP))
				compare(&shot, &record, gradient, j, &tally);
	}
	fprintf(stderr, "%d compared, worst %.2e; %d unsettled\n", tally.compared, tally.worst,
	        tally.unsettled);
	free(gradient);
	return tally;
}

static void check_tally(const struct tally *tally)
{
	ck_assert_int_eq(tally->wrong, 0);
	ck_assert_double_le((double)tally->unsettled, SELDOM * (double)tally->compared);
}

START_TEST(agree_with_differences)
{
	struct tally tally = compare_shots(1, 0.0);

	check_tally(&tally);
	ck_assert_int_eq(tally.compared, SHOTS * 34);
}
END_TEST

/* 1.2 mm a metre: at most 5/7 of it is below the least rolling resistance. */
START_TEST(agree_on_a_slope)
{
	struct tally tally = compare_shots(2, 0.0012);

	check_tally(&tally);
	ck_assert_int_eq(tally.compared, SHOTS * 37);
}
END_TEST

/* physics.md 1: a ball that a slope presses against a rail rolls along it, as if the bed were level
 * across; it does so, too, for a slope that is a little different. */
START_TEST(hold_at_a_rail)
{
	static struct shot_gradient gradient;
	struct shot_support shot;
	struct shot_record record;
	struct tally tally = {0};
	double radius;

	shot_support_start(&shot, 1);
	radius = shot.bodies[0].radius;
	shot.constants.terms.slope_long = 0.00117;
	shot.constants.terms.slope_short = -0.00131; /* down to the right */
	shot.states[0] = shot_support_ball(table_frozen_line(&shot.table, RAIL_RIGHT, radius),
	                                   0.531, radius, 0.5 * M_PI, 0.447, 0.447, 0.2);
	shot.states[0].velocity.x = shot.states[0].spin.y = 0.0;
	shot_gradient_still(&gradient, 0);
	gradient.count = 2;
	for (int j = 0; j < 2; j++)
		gradient.directions[j] =
		    (struct shot_direction){.kind = DIRECTION_TERM, .term = (enum term_id)j};
	shot_play_gradient(&shot.scene, shot.states, &shot.need, &record, &gradient);
	for (int j = 0; j < gradient.count; j++)
		compare(&shot, &record, &gradient, j, &tally);
	ck_assert_int_eq(tally.wrong + tally.unsettled, 0);
	ck_assert(gradient_at(&gradient.ends[0].y, 0) < -10.0);
	ck_assert(gradient_at(&gradient.ends[0].x, 1) == 0.0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("gradient");
	TCase *tests = tcase_create("plays");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_set_timeout(tests, 0);
	tcase_add_test(tests, agree_with_differences);
	tcase_add_test(tests, agree_on_a_slope);
	tcase_add_test(tests, hold_at_a_rail);
	suite_add_tcase(suite, tests);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
