/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "advise/guide.h"
#include "session_support.h"

/* The session as a state machine, without a terminal: which reading is asked for after each answer
 * is set down here by hand from the order that advise/guide.h states. */

static const char protocol_text[] =
    "{ \"format\": \"restpoint-protocol\", \"version\": 1, \"name\": \"p\", \"title\": \"t\","
    " \"purpose\": \"\", \"kit\": [\"watch\"], \"shots\": ["
    " { \"shot\": \"lag\", \"tries\": 2, \"place\": { \"cue\": { \"long\": 2, \"short\": 2 } },"
    "   \"aim\": { \"nose\": { \"rail\": \"foot\", \"at\": 2 } },"
    "   \"launch\": { \"by\": \"cue\", \"speed_m_s\": 2.2, \"speed_spread\": 0.3,"
    "     \"height\": 0.4, \"height_spread\": 0.05, \"side\": 0, \"side_spread\": 0.05 },"
    "   \"watch\": [ { \"from\": \"strike\", \"to\": \"cue_rail1\" } ],"
    "   \"measure\": [\"cue_rest_long\", \"cue_rest_short\", \"cue_rail1\", \"watch1\","
    "     \"sound1\"] },"
    " { \"shot\": \"kick\", \"tries\": 1, \"place\": { \"cue\": { \"long\": 2, \"short\": 1 } },"
    "   \"aim\": { \"nose\": { \"rail\": \"right\", \"at\": 4.5 } },"
    "   \"launch\": { \"by\": \"cue\", \"speed_m_s\": 2.2, \"speed_spread\": 0.3,"
    "     \"height\": 0.4, \"height_spread\": 0.05, \"side\": 0, \"side_spread\": 0.05 },"
    "   \"measure\": [\"cue_rail2\", \"cue_rail1\"] } ] }";

static struct protocol protocol;
static struct measurement measurement;
static struct guide guide;

static void setup(void)
{
	session_support_parse(protocol_text, &protocol);
	measurement = (struct measurement){.arena = arena_create(), .separator = ','};
	ck_assert_ptr_nonnull(measurement.arena);
	measurement.session = session_default();
	ck_assert(guide_start(&guide, &protocol, &measurement));
}

static void teardown(void)
{
	guide_free(&guide);
	measurement_free(&measurement);
	protocol_free(&protocol);
}

/* Starts anew on the rows that there are, as after a crash. */
static void start_again(void)
{
	guide_free(&guide);
	ck_assert(guide_start(&guide, &protocol, &measurement));
}

static void asks(const char *shot, int stroke, const char *quantity)
{
	struct guide_question question = guide_ask(&guide);

	ck_assert_ptr_nonnull(question.shot);
	ck_assert_str_eq(question.shot->key, shot);
	ck_assert_int_eq(question.stroke, stroke);
	ck_assert_str_eq(quantity_name(question.quantity), quantity);
}

static enum guide_change answer(double value)
{
	struct reading reading = {.kind = READING_VALUE, .value = value};

	return guide_answer(&guide, &reading);
}

static enum guide_change pass_over(void)
{
	struct reading reading = {.kind = READING_MISSING};

	return guide_answer(&guide, &reading);
}

static double held(size_t row, const char *quantity)
{
	int number;

	ck_assert(quantity_from_name(quantity, strlen(quantity), &number));
	ck_assert_uint_lt(row, measurement.row_count);
	return measurement.rows[row].readings[number].kind == READING_VALUE
	           ? measurement.rows[row].readings[number].value
	           : -1.0;
}

static void is_about(double found, double wanted, double tolerance)
{
	ck_assert_double_eq_tol(found, wanted, tolerance + 1e-15);
}

/* One lag: rail, watch, rests, sound. */
static void play_lag(double first)
{
	ck_assert_int_eq(answer(first), GUIDE_GOES_ON);
	ck_assert_int_eq(answer(0.873), GUIDE_GOES_ON);
	ck_assert_int_eq(answer(3.41), GUIDE_GOES_ON);
	ck_assert_int_eq(answer(2.07), GUIDE_GOES_ON);
	ck_assert_int_eq(answer(0.9134), GUIDE_STROKE_DONE);
}

START_TEST(asks_in_order)
{
	asks("lag", 1, "cue_rail1");
	ck_assert_uint_eq(measurement.row_count, 0);
	ck_assert_int_eq(answer(2.13), GUIDE_GOES_ON);
	ck_assert_uint_eq(measurement.row_count, 1);
	asks("lag", 1, "watch1");
	answer(0.873);
	asks("lag", 1, "cue_rest_long");
	answer(3.41);
	asks("lag", 1, "cue_rest_short");
	answer(2.07);
	asks("lag", 1, "sound1");
	ck_assert_int_eq(answer(0.9134), GUIDE_STROKE_DONE);
	asks("lag", 2, "cue_rail1");
	play_lag(1.94);
	asks("kick", 1, "cue_rail1");
	answer(5.17);
	asks("kick", 1, "cue_rail2");
	ck_assert_int_eq(answer(6.02), GUIDE_STROKE_DONE);
	ck_assert_ptr_null(guide_ask(&guide).shot);
	ck_assert_uint_eq(measurement.row_count, 3);
	ck_assert_int_eq(measurement.rows[1].try_number, 2);
	is_about(held(0, "cue_rest_short"), 2.07, 0.0);
	is_about(held(1, "cue_rail1"), 1.94, 0.0);
}
END_TEST

/* A reading passed over leaves its cell blank; a stroke without any makes no row. */
START_TEST(passes_over)
{
	ck_assert_int_eq(pass_over(), GUIDE_GOES_ON);
	ck_assert_uint_eq(measurement.row_count, 0);
	answer(0.873);
	ck_assert_uint_eq(measurement.row_count, 1);
	ck_assert_int_eq(guide_end_stroke(&guide), GUIDE_STROKE_DONE);
	asks("lag", 2, "cue_rail1");
	is_about(held(0, "cue_rail1"), -1.0, 0.0);
	ck_assert_int_eq(guide_end_stroke(&guide), GUIDE_STROKE_LOST);
	asks("lag", 2, "cue_rail1");
	ck_assert_uint_eq(measurement.row_count, 1);
}
END_TEST

/* A ball that fell has no second coordinate to ask for. */
START_TEST(pocket_answers_both)
{
	struct reading pocket = {.kind = READING_POCKET};

	answer(2.13);
	answer(0.873);
	guide_answer(&guide, &pocket);
	asks("lag", 1, "sound1");
	ck_assert_int_eq(guide_undo(&guide), GUIDE_TAKEN_BACK);
	asks("lag", 1, "cue_rest_long");
	is_about(held(0, "cue_rest_short"), -1.0, 0.0);
	ck_assert_int_eq(measurement.rows[0].readings[1].kind, READING_MISSING);
}
END_TEST

/* Undo goes back reading by reading, over the end of a stroke, to an empty file. */
START_TEST(undo_goes_all_the_way)
{
	static const char *const back[] = {"sound1", "cue_rest_short", "cue_rest_long", "watch1",
	                                   "cue_rail1"};

	play_lag(2.13);
	answer(1.88);
	guide_undo(&guide);
	asks("lag", 2, "cue_rail1");
	ck_assert_uint_eq(measurement.row_count, 1);
	for (size_t i = 0; i < sizeof back / sizeof back[0]; i++) {
		ck_assert_int_eq(guide_undo(&guide), GUIDE_TAKEN_BACK);
		asks("lag", 1, back[i]);
	}
	ck_assert_uint_eq(measurement.row_count, 0);
	ck_assert_int_eq(guide_undo(&guide), GUIDE_NOTHING);
	play_lag(2.21);
	is_about(held(0, "cue_rail1"), 2.21, 0.0);
}
END_TEST

/* A stroke set aside keeps its row and is asked for again; undo makes it count again. */
START_TEST(miscue_and_back)
{
	answer(2.13);
	ck_assert_int_eq(guide_set_aside(&guide, "miscue"), GUIDE_STROKE_DONE);
	ck_assert(!measurement.rows[0].valid);
	ck_assert_str_eq(measurement.rows[0].note, "miscue");
	asks("lag", 1, "cue_rail1");
	ck_assert_int_eq(guide_undo(&guide), GUIDE_TAKEN_BACK);
	ck_assert(measurement.rows[0].valid);
	ck_assert_ptr_null(measurement.rows[0].note);
	asks("lag", 1, "watch1");
	ck_assert_int_eq(guide_set_aside(&guide, "miscue"), GUIDE_STROKE_DONE);
	play_lag(2.02);
	asks("lag", 2, "cue_rail1");
	ck_assert_int_eq(measurement.rows[1].try_number, 2);
	ck_assert_int_eq(guide_count(&guide, 0), 1);
}
END_TEST

START_TEST(repeats)
{
	ck_assert_int_eq(guide_repeat(&guide), GUIDE_NOTHING);
	answer(2.13);
	answer(0.873);
	ck_assert_int_eq(guide_repeat(&guide), GUIDE_TAKEN_BACK);
	ck_assert_uint_eq(measurement.row_count, 0);
	play_lag(2.13);
	play_lag(1.94);
	asks("kick", 1, "cue_rail1");
	ck_assert_int_eq(guide_repeat(&guide), GUIDE_GOES_ON);
	asks("lag", 3, "cue_rail1");
	ck_assert_int_eq(guide_ask(&guide).strokes, 0);
	play_lag(1.97);
	asks("kick", 1, "cue_rail1");
}
END_TEST

/* What was left out comes again when the guide starts again, behind what follows it. */
START_TEST(leaves_out)
{
	play_lag(2.13);
	ck_assert_int_eq(guide_leave_out(&guide), GUIDE_STROKE_LOST);
	asks("kick", 1, "cue_rail1");
	answer(5.17);
	answer(6.02);
	ck_assert_ptr_null(guide_ask(&guide).shot);
	start_again();
	asks("lag", 2, "cue_rail1");
}
END_TEST

START_TEST(chooses)
{
	ck_assert_int_eq(guide_choose(&guide, guide_find(&guide, "kick"), 2), GUIDE_GOES_ON);
	asks("kick", 1, "cue_rail1");
	answer(5.17);
	ck_assert_int_eq(guide_choose(&guide, 0, 1), GUIDE_NOTHING); /* a stroke is open */
	answer(6.02);
	asks("kick", 2, "cue_rail1");
	answer(5.21);
	answer(6.11);
	asks("lag", 1, "cue_rail1");
	ck_assert_uint_eq(guide_find(&guide, "none"), protocol.shot_count);
	ck_assert_int_eq(guide_choose(&guide, protocol.shot_count, 1), GUIDE_NOTHING);
}
END_TEST

/* Killed at any moment and started again, it asks for what it had asked for. */
START_TEST(goes_on_anywhere)
{
	static const char *const rests[] = {"watch1", "cue_rest_long", "cue_rest_short", "sound1"};

	for (size_t i = 0; i < sizeof rests / sizeof rests[0]; i++) {
		answer(1.5 + 0.1 * (double)i);
		start_again();
		asks("lag", 1, rests[i]);
		ck_assert_uint_eq(measurement.row_count, 1);
	}
	answer(0.9134);
	start_again();
	asks("lag", 2, "cue_rail1");
	guide_set_aside(&guide, "miscue");
	start_again();
	asks("lag", 2, "cue_rail1");
	play_lag(2.02);
	start_again();
	asks("kick", 1, "cue_rail1");
	ck_assert_uint_eq(measurement.row_count, 3);
	ck_assert_int_eq(measurement.rows[2].try_number, 3);
}
END_TEST

/* More rows than the array first had room for. */
START_TEST(grows)
{
	for (int i = 0; i < 100; i++) {
		guide_choose(&guide, 1, 1);
		ck_assert_int_eq(answer(5.0 + 0.01 * i), GUIDE_GOES_ON);
		ck_assert_int_eq(answer(6.0), GUIDE_STROKE_DONE);
	}
	ck_assert_uint_eq(measurement.row_count, 100);
	is_about(held(37, "cue_rail1"), 5.37, 1e-12);
	ck_assert_int_eq(measurement.rows[99].try_number, 100);
}
END_TEST

/* A reading by its name, in any order, asked for or not. */
START_TEST(put_by_name)
{
	struct reading reading = {.kind = READING_VALUE, .value = 6.31};
	int rail2, rest;

	ck_assert(quantity_from_name("cue_rail2", 9, &rail2));
	ck_assert(quantity_from_name("cue_rest_long", 13, &rest));
	ck_assert_int_eq(guide_put(&guide, rail2, &reading), GUIDE_GOES_ON);
	is_about(held(0, "cue_rail2"), 6.31, 0.0);
	asks("lag", 1, "cue_rail1");
	ck_assert_int_eq(guide_undo(&guide), GUIDE_TAKEN_BACK);
	ck_assert_uint_eq(measurement.row_count, 0);
	ck_assert_int_eq(guide_undo(&guide), GUIDE_NOTHING);
	guide_put(&guide, rest, &reading);
	answer(2.13);
	answer(0.873);
	asks("lag", 1, "cue_rest_short");
	guide_put(&guide, rest, &(struct reading){.kind = READING_MISSING});
	is_about(held(0, "cue_rest_long"), -1.0, 0.0);
	asks("lag", 1, "cue_rest_short");
}
END_TEST

START_TEST(notes)
{
	ck_assert_int_eq(guide_note(&guide, "before the first"), GUIDE_GOES_ON);
	answer(2.13);
	ck_assert_str_eq(measurement.rows[0].note, "before the first");
	ck_assert_int_eq(guide_note(&guide, "a hair off"), GUIDE_GOES_ON);
	ck_assert_str_eq(measurement.rows[0].note, "a hair off");
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("guide");
	TCase *tests = tcase_create("guide");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_test(tests, asks_in_order);
	tcase_add_test(tests, passes_over);
	tcase_add_test(tests, pocket_answers_both);
	tcase_add_test(tests, undo_goes_all_the_way);
	tcase_add_test(tests, miscue_and_back);
	tcase_add_test(tests, repeats);
	tcase_add_test(tests, leaves_out);
	tcase_add_test(tests, chooses);
	tcase_add_test(tests, goes_on_anywhere);
	tcase_add_test(tests, grows);
	tcase_add_test(tests, put_by_name);
	tcase_add_test(tests, notes);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
