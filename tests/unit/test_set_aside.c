/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "estimate/set_aside.h"
#include "fit_support.h"
#include "stroke_rows.h"

/* Which strokes go at once, and which before anything is known. Chi-square of two readings: its
 * probability is exp(-cost / 2), so 13.0 is 1.5e-3, 14.6 is 6.8e-4 and 35.1 is 2.4e-8. */

#define STROKES 23

static struct stroke_case strokes[STROKES];
static const char *reasons[STROKES];
static struct arena *arena;

static void setup(void)
{
	arena = arena_create();
	for (int i = 0; i < STROKES; i++) {
		strokes[i] = (struct stroke_case){.used = true, .cost = 1.7};
		strokes[i].readings.count = strokes[i].readings.residual_count = 2;
		for (int k = 0; k < 2; k++)
			strokes[i].readings.items[k] =
			    (struct stroke_reading){.number = k, .error = 0.05, .rail = RAIL_COUNT};
		reasons[i] = NULL;
	}
}

static void teardown(void)
{
	arena_free(arena);
}

static size_t count_aside(void)
{
	size_t aside = 0;

	for (int i = 0; i < STROKES; i++)
		aside += !strokes[i].used;
	return aside;
}

START_TEST(only_what_is_unlikely_goes)
{
	strokes[5].cost = 13.0;
	ck_assert(!set_aside_worst(strokes, STROKES, arena, reasons));
	strokes[8].cost = 14.6;
	ck_assert(set_aside_worst(strokes, STROKES, arena, reasons));
	ck_assert(!strokes[8].used && strokes[8].spoiled && reasons[8] != NULL);
	ck_assert_uint_eq(count_aside(), 1);
}
END_TEST

/* Two whose probability is too small for a number: the costlier one goes, and neither the other,
 * a hundredth of it, nor one that is impossible by less; they may only be pulled. */
START_TEST(the_worst_goes_before_those_it_may_pull)
{
	strokes[3].cost = 6.1e5;
	strokes[4].cost = 35.1;
	strokes[17].cost = 6.4e7;
	ck_assert(set_aside_worst(strokes, STROKES, arena, reasons));
	ck_assert(!strokes[17].used);
	ck_assert_uint_eq(count_aside(), 1);
	strokes[3].cost = 321.0;
	ck_assert(set_aside_worst(strokes, STROKES, arena, reasons));
	ck_assert(!strokes[3].used && !strokes[4].used);
	ck_assert_uint_eq(count_aside(), 3);
}
END_TEST

/* One constant, of variance 0.5 after a fit with the stroke, whose first residual falls by 1 with it:
 * what was foretold of that residual without the stroke is 2 / (1 - 0.5) with variance 1 / (1 - 0.5),
 * so it costs 8, and the second, which tells nothing of it, 1: by hand, from the normal equations.
 * Then the stroke goes though its cost does not tell. */
START_TEST(what_the_others_foretell_counts)
{
	double covariance[CONSTANT_COUNT * CONSTANT_COUNT] = {0.0};
	struct fit_problem problem = {.stroke_count = STROKES, .strokes = strokes};

	covariance[CUSHION_FRICTION * CONSTANT_COUNT + CUSHION_FRICTION] = 0.5;
	for (int i = 0; i < STROKES; i++)
		for (int k = 0; k < SHARED_UNKNOWNS; k++)
			strokes[i].parameter[k] = -1;
	strokes[7].reduced[0] = 2.0;
	strokes[7].reduced[1] = -1.0;
	strokes[7].reduced_slope[0][CUSHION_FRICTION] = -1.0;
	set_aside_foretell(&problem, covariance);
	ck_assert_double_eq_tol(strokes[7].foretold, 9.0, 1e-12);
	ck_assert_double_eq(strokes[6].foretold, 0.0);
	ck_assert(!set_aside_worst(strokes, STROKES, arena, reasons));
	strokes[7].reduced[0] = 2.7;
	set_aside_foretell(&problem, covariance);
	ck_assert_double_eq_tol(strokes[7].foretold, 15.58, 1e-12);
	ck_assert(set_aside_worst(strokes, STROKES, arena, reasons));
	ck_assert(!strokes[7].used);
	ck_assert_str_eq(reasons[7], "does not go with the other strokes: they foretell another "
	                             "course or time");
}
END_TEST

/* 23 strokes: four are at most a fifth. */
START_TEST(no_more_than_a_fifth_goes)
{
	for (int i = 0; i < 9; i++)
		strokes[2 * i].cost = 1000.0 + 7.0 * i;
	ck_assert(set_aside_worst(strokes, STROKES, arena, reasons));
	ck_assert_uint_eq(count_aside(), 4);
	ck_assert(!set_aside_worst(strokes, STROKES, arena, reasons));
}
END_TEST

/* Beside the reading, what the stroke must have been is a reason: told by what is strained most. */
START_TEST(the_reason_is_what_is_strained_most)
{
	strokes[2].cost = 31.3;
	strokes[2].residuals[1] = -1.3;
	strokes[2].own[OWN_SPEED] = -5.42;
	ck_assert(set_aside_worst(strokes, STROKES, arena, reasons));
	ck_assert_str_eq(reasons[2],
	                 "fits only a stroke struck too soft by 5.4 times the usual scatter");
	strokes[6].cost = 31.3;
	strokes[6].residuals[1] = 5.5;
	strokes[6].readings.items[1].value = 2.37;
	strokes[6].own[OWN_SPEED] = 1.1;
	ck_assert(set_aside_worst(strokes, STROKES, arena, reasons));
	ck_assert_str_eq(reasons[6], "cue_rest_short reads 2.37: no stroke near the designed one "
	                             "comes closer than 0.28 diamonds with the other readings");
}
END_TEST

/* A rail that the shot cannot meet and a time that none takes, in good company, before any fit; a
 * diamond more, which constants and habits may explain, stays. */
START_TEST(what_no_table_explains_goes_at_first_sight)
{
	const char *why[64] = {NULL};
	struct stroke_rows rows;
	struct protocol protocol;
	struct reading *contact;

	fit_support_protocol(&protocol);
	stroke_rows_play(&rows, &protocol, NULL, 43, true);
	fit_support_row(&rows.measurement, "timed-lag", 2)
	    ->readings[fit_support_quantity("watch1")].value += 61.0;
	fit_support_row(&rows.measurement, "timed-lag", 3)
	    ->readings[fit_support_quantity("cue_rest_long")].value += 1.0;
	contact = &fit_support_row(&rows.measurement, "short-kick", 1)
	               ->readings[fit_support_quantity("cue_rail1")];
	ck_assert_int_eq(contact->rail, RAIL_RIGHT);
	contact->rail = RAIL_LEFT;
	stroke_rows_build(&rows);
	set_aside_screen(&rows.problem, why);
	for (size_t i = 0; i < rows.problem.stroke_count; i++) {
		const struct stroke_case *stroke = &rows.problem.strokes[i];
		bool far = stroke == stroke_rows_find(&rows, "timed-lag", 2) ||
		           stroke == stroke_rows_find(&rows, "short-kick", 1);

		ck_assert_msg(stroke->used == !far, "line %zu", stroke->row->line);
		ck_assert((why[i] != NULL) == far);
	}
	stroke_rows_free(&rows);
	protocol_free(&protocol);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("set aside");
	TCase *cases = tcase_create("set aside");

	suite_add_tcase(suite, cases);
	tcase_add_checked_fixture(cases, setup, teardown);
	tcase_add_test(cases, only_what_is_unlikely_goes);
	tcase_add_test(cases, the_worst_goes_before_those_it_may_pull);
	tcase_add_test(cases, what_the_others_foretell_counts);
	tcase_add_test(cases, no_more_than_a_fifth_goes);
	tcase_add_test(cases, the_reason_is_what_is_strained_most);
	tcase_add_test(cases, what_no_table_explains_goes_at_first_sight);
	return close_run(suite);
}
