/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "estimate/misreading.h"
#include "fit_support.h"
#include "physics/cushion.h"
#include "stroke_rows.h"

/* Slips made by hand in strokes of tests/unit/fit_protocol.json that were played at the middle of the
 * priors, with scatter and errors of reading: what was put in is what must be asked for. */

static struct protocol protocol;
static struct stroke_rows rows;
static struct arena *arena;

/* Besides what the shots measure: both coordinates of a lag, and all sounds of a kick. */
static void setup(void)
{
	fit_support_protocol(&protocol);
	protocol.shots[0].measure |= UINT32_C(1) << fit_support_quantity("cue_rest_short");
	for (size_t i = 0; i < protocol.shot_count; i++)
		if (strcmp(protocol.shots[i].key, "long-kick") == 0)
			protocol.shots[i].measure |=
			    UINT32_C(1) << fit_support_quantity("sound1") |
			    UINT32_C(1) << fit_support_quantity("sound2");
	stroke_rows_play(&rows, &protocol, NULL, 41, true);
	arena = arena_create();
}

static void teardown(void)
{
	stroke_rows_free(&rows);
	protocol_free(&protocol);
	arena_free(arena);
}

static struct reading *cell(const char *shot, int try_number, const char *quantity)
{
	return &fit_support_row(&rows.measurement, shot, try_number)
	            ->readings[fit_support_quantity(quantity)];
}

static struct misreading find(struct stroke_case *stroke)
{
	struct stroke_point middle = {.constants = {0.0}};
	struct misreading misreading;

	ck_assert(stroke_case_settle(stroke, &middle));
	stroke_case_search(stroke, &middle, 1);
	memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
	ck_assert(misreading_find(stroke, &middle, 1, &misreading));
	return misreading;
}

/* Finds the slip in a stroke of the rows as they stand, and checks what it asks. */
static struct misreading ask(const char *shot, int try_number, const char *question)
{
	struct stroke_case *stroke;
	struct misreading misreading;
	const char *asked;

	stroke_rows_build(&rows);
	stroke = stroke_rows_find(&rows, shot, try_number);
	misreading = find(stroke);
	asked = misreading_ask(stroke, &misreading, arena);
	ck_assert_msg(question == NULL ? asked == NULL
	                               : asked != NULL && strstr(asked, question) != NULL,
	              "%s: asked %s", shot, asked != NULL ? asked : "nothing");
	return misreading;
}

/* What was read less what the stroke does is the diamond, but for the errors of reading: within
 * three of them. Without the other coordinate, which would be as good a suspect. */
START_TEST(a_diamond_off)
{
	struct misreading misreading;
	double meant = cell("timed-lag", 1, "cue_rest_long")->value;

	cell("timed-lag", 1, "cue_rest_long")->value = meant + 1.0;
	cell("timed-lag", 1, "cue_rest_short")->kind = READING_MISSING;
	misreading = ask("timed-lag", 1, "from where this stroke can stop: is long ");
	ck_assert_int_eq(misreading.kind, MISREADING_VALUE);
	ck_assert_double_eq_tol(misreading.value, meant, 1e-12);
	ck_assert_double_eq_tol(misreading.away, 1.0, 3.0 * ERROR_DEFAULT_POSITION);
}
END_TEST

START_TEST(a_diamond_off_at_a_rail)
{
	struct misreading misreading;
	double meant = cell("half-ball", 2, "object_rail1")->value;

	cell("half-ball", 2, "object_rail1")->value = meant - 1.0;
	misreading = ask("half-ball", 2, "from where this stroke can meet that rail: is ");
	ck_assert_int_eq(misreading.kind, MISREADING_VALUE);
	ck_assert_double_eq_tol(misreading.value, meant, 1e-12);
}
END_TEST

START_TEST(ten_times)
{
	struct misreading misreading;
	double meant = cell("timed-lag", 3, "watch2")->value;

	cell("timed-lag", 3, "watch2")->value = 10.0 * meant;
	misreading = ask("timed-lag", 3, "from the time that this stroke can take: is ");
	ck_assert_int_eq(misreading.kind, MISREADING_VALUE);
	ck_assert_double_eq_tol(misreading.value, meant, 1e-12);
}
END_TEST

START_TEST(long_and_short_swapped)
{
	struct reading *along = cell("timed-lag", 2, "cue_rest_long");
	struct reading *across = cell("timed-lag", 2, "cue_rest_short");
	double value = along->value;

	ck_assert_double_gt(fabs(value - across->value), 0.5); /* else nothing is spoiled */
	along->value = across->value;
	across->value = value;
	ck_assert_int_eq(ask("timed-lag", 2, "were long and short swapped?").kind,
	                 MISREADING_SWAPPED);
}
END_TEST

START_TEST(another_rail)
{
	struct reading *contact = cell("short-kick", 1, "cue_rail2");
	enum rail meant = contact->rail;
	struct misreading misreading;
	char question[40];

	contact->rail = meant == RAIL_LEFT ? RAIL_RIGHT : RAIL_LEFT;
	snprintf(question, sizeof question, "is the %s rail meant?", rail_name(meant));
	misreading = ask("short-kick", 1, question);
	ck_assert_int_eq(misreading.kind, MISREADING_RAIL);
	ck_assert_int_eq(misreading.rail, meant);
}
END_TEST

/* The first contact was not heard: the second stands in its place, the third in that of the
 * second. */
static void leave_out_first(void)
{
	struct reading *first = cell("long-kick", 1, "sound1");

	first->value = cell("long-kick", 1, "sound2")->value;
	cell("long-kick", 1, "sound2")->kind = READING_MISSING;
}

START_TEST(a_contact_not_heard)
{
	leave_out_first();
	ck_assert_int_eq(ask("long-kick", 1, "was the 1st contact not heard?").kind,
	                 MISREADING_UNHEARD);
}
END_TEST

/* Mended, the sound is that of the second contact, and the stroke is likely again: its cost is that
 * of four readings that are right, below the 99 % point of chi-square (13.28, from tables). */
START_TEST(a_sound_is_mended)
{
	struct stroke_point middle = {.constants = {0.0}};
	struct misreading misreading;
	struct stroke_case *stroke;

	leave_out_first();
	misreading = ask("long-kick", 1, "sound1 reads ");
	stroke = stroke_rows_find(&rows, "long-kick", 1);
	misreading_mend(stroke, &misreading);
	ck_assert_int_eq(stroke->readings.items[misreading.reading].number,
	                 fit_support_quantity("sound2"));
	memset(stroke->trial_own, 0, sizeof stroke->trial_own);
	stroke->active_count = 0;
	ck_assert(stroke_case_settle(stroke, &middle));
	ck_assert_double_lt(stroke->trial_cost, 13.28);
}
END_TEST

/* Struck five standard deviations too hard, and read well. */
START_TEST(a_wild_stroke_is_no_misreading)
{
	struct stroke_point middle = {.constants = {0.0}};
	struct constants constants = stroke_point_constants(&middle);
	double own[OWN_UNKNOWNS] = {[OWN_SPEED] = 5.0, [OWN_AIM] = -2.0};
	struct observed observed[QUANTITY_COUNT];
	struct stroke_case *stroke;
	struct shot_record record;

	stroke_rows_build(&rows);
	stroke = stroke_rows_find(&rows, "timed-lag", 4);
	ck_assert(stroke_scene_play(&stroke->scene, &constants, middle.shared, own,
	                            CUSHION_TOLERANCE, &record, observed));
	for (size_t i = 0; i < stroke->readings.count; i++)
		stroke->readings.items[i].value = observed[stroke->readings.items[i].number].value;
	ck_assert_int_eq(find(stroke).kind, MISREADING_NONE);
	ck_assert_double_gt(stroke->trial_cost, 20.0); /* it is unlikely all the same */
}
END_TEST

/* Both coordinates a diamond and a half off, each its own way: two slips. */
START_TEST(two_slips_are_not_one)
{
	cell("timed-lag", 1, "cue_rest_long")->value += 1.5;
	cell("timed-lag", 1, "watch1")->value += 2.7;
	ck_assert_int_eq(ask("timed-lag", 1, NULL).kind, MISREADING_NONE);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("misreading");
	TCase *cases = tcase_create("misreading");

	suite_add_tcase(suite, cases);
	tcase_add_checked_fixture(cases, setup, teardown);
	tcase_add_test(cases, a_diamond_off);
	tcase_add_test(cases, a_diamond_off_at_a_rail);
	tcase_add_test(cases, ten_times);
	tcase_add_test(cases, long_and_short_swapped);
	tcase_add_test(cases, another_rail);
	tcase_add_test(cases, a_contact_not_heard);
	tcase_add_test(cases, a_sound_is_mended);
	tcase_add_test(cases, a_wild_stroke_is_no_misreading);
	tcase_add_test(cases, two_slips_are_not_one);
	return close_run(suite);
}
