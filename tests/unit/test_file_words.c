/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Small parts of the file layer: UTF-8, lists of words, times. */
#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "files/timestamp.h"
#include "files/utf8.h"
#include "files/words.h"
#include "files_support.h"

static struct arena *arena;

static void setup(void)
{
	arena = arena_create();
	ck_assert_ptr_nonnull(arena);
}

static void teardown(void)
{
	arena_free(arena);
}

/* The Unicode Standard, table 3-7: the first and last sequence of each row, and what lies between
 * the rows. */
START_TEST(well_formed_sequences)
{
	static const struct {
		const char *bytes;
		size_t length;
		uint32_t code;
	} cases[] = {
	    {"\x7F", 1, 0x7F},
	    {"\xC2\x80", 2, 0x80},
	    {"\xDF\xBF", 2, 0x7FF},
	    {"\xE0\xA0\x80", 3, 0x800},
	    {"\xED\x9F\xBF", 3, 0xD7FF},
	    {"\xEE\x80\x80", 3, 0xE000},
	    {"\xEF\xBF\xBF", 3, 0xFFFF},
	    {"\xF0\x90\x80\x80", 4, 0x10000},
	    {"\xF4\x8F\xBF\xBF", 4, 0x10FFFF},
	    {"\x80", 0, 0},
	    {"\xC0\x80", 0, 0},
	    {"\xC1\xBF", 0, 0},
	    {"\xE0\x9F\xBF", 0, 0},
	    {"\xED\xA0\x80", 0, 0}, /* a surrogate */
	    {"\xF0\x8F\xBF\xBF", 0, 0},
	    {"\xF4\x90\x80\x80", 0, 0},
	    {"\xF5\x80\x80\x80", 0, 0},
	    {"\xE2\x82", 0, 0}, /* cut off */
	    {"\xE2(\xA1", 0, 0},
	};
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		uint32_t code = 0;
		size_t length = utf8_sequence(cases[i].bytes, strlen(cases[i].bytes), &code);
		ck_assert_uint_eq(length, cases[i].length);
		ck_assert_uint_eq(code, cases[i].code);
	}
	ck_assert_uint_eq(utf8_sequence("", 0, NULL), 0);
}
END_TEST

START_TEST(quotes_show_no_control_character)
{
	static const char text[] = "a\nb\tc\x1B[2J\xC2\x9B"
				   "1m\xFF\0é";
	ck_assert_str_eq(utf8_quote(arena, text, sizeof text - 1), "\"a b c?[2J?1m??é\"");
	ck_assert_str_eq(utf8_quote(arena, "", 0), "\"\"");
	const char *longest = "ééééééééééééééééééééééééééééééééééééééééééééééééé"; /* 49 */
	const char *quoted = utf8_quote(arena, longest, strlen(longest));
	ck_assert_uint_eq(strlen(quoted), 2 + 48 * 2 + strlen("…"));
	ck_assert_uint_eq(utf8_first_bad("ab\r\n\t\x08", 6), 5);
}
END_TEST

START_TEST(nearest_word_is_found)
{
	static const char *const words[] = {"shot", "try", "cue_rail1", "object_rest_long", "note"};
	static const char *const cases[][2] = {
	    {"Shot", "shot"},
	    {"shto", "shot"},
	    {"trry", "try"},
	    {"shots", "shot"},
	    {"cue_rial1", "cue_rail1"},
	    {"cuerail1", "cue_rail1"},
	    {"object_rest", NULL},
	    {"object_rst_lnog", "object_rest_long"},
	    {"x", NULL},
	    {"", NULL},
	    {"velocity", NULL},
	};
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		const char *nearest = words_nearest(cases[i][0], words, 5);
		if (cases[i][1] == NULL)
			ck_assert_ptr_null(nearest);
		else
			ck_assert_str_eq(nearest, cases[i][1]);
	}
	ck_assert_str_eq(words_advice(arena, "nota", words, 5, "no"),
	                 "write \"note\" if that is meant");
	ck_assert_str_eq(words_advice(arena, "speed", words, 5, "rename it"), "rename it");
	ck_assert_str_eq(words_join(arena, words, 3), "shot, try, cue_rail1");
	ck_assert_str_eq(words_join(arena, words, 0), "");
}
END_TEST

START_TEST(ranges_are_said_in_words)
{
	ck_assert_str_eq(words_range(arena, 0, 0.05, true), "a number above 0, at most 0.05");
	ck_assert_str_eq(words_range(arena, -0.5, 8, false), "a number from -0.5 to 8");
}
END_TEST

/* RFC 3339, sections 5.6 and 5.7, with its own examples of section 5.8. */
START_TEST(dates_and_times)
{
	static const char *const date_times[] = {
	    "1985-04-12T23:20:50.52Z", "1996-12-19T16:39:57-08:00",
	    "1990-12-31T23:59:60Z",    "1937-01-01T12:00:27.87+00:20",
	    "2024-02-29t00:00:00z",    "2026-03-14 19:05:33+01:00"};
	static const char *const others[] = {"",
	                                     "2026-03-14",
	                                     "2026-3-14T00:00:00Z",
	                                     "2023-02-29T00:00:00Z",
	                                     "2026-13-01T00:00:00Z",
	                                     "2026-04-31T00:00:00Z",
	                                     "2026-00-10T00:00:00Z",
	                                     "2026-03-00T00:00:00Z",
	                                     "2026-03-14T24:00:00Z",
	                                     "2026-03-14T23:60:00Z",
	                                     "2026-03-14T23:59:61Z",
	                                     "2026-03-14T23:59:59",
	                                     "2026-03-14T23:59:59.Z",
	                                     "2026-03-14T23:59:59+1:00",
	                                     "2026-03-14T23:59:59+24:00",
	                                     "2026-03-14T23:59:59Zz",
	                                     "1900-02-29T00:00:00Z"};
	for (size_t i = 0; i < sizeof date_times / sizeof date_times[0]; i++)
		ck_assert_msg(timestamp_is_date_time(date_times[i]), "%s", date_times[i]);
	for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
		ck_assert_msg(!timestamp_is_date_time(others[i]), "%s", others[i]);
	ck_assert(timestamp_is_date("2000-02-29") && !timestamp_is_date("2100-02-29"));
	ck_assert(!timestamp_is_date("2026-03-14T") && !timestamp_is_date("14.03.2026"));
	ck_assert(timestamp_is_time("19:05:33") && timestamp_is_time("00:00:00.125"));
	ck_assert(timestamp_is_time("19:05:33-05:30") && timestamp_is_time("19:05:33Z"));
	ck_assert(!timestamp_is_time("19:05") && !timestamp_is_time("7:05:33 pm"));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("file_words");
	TCase *test_case = tcase_create("file_words");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_test(test_case, well_formed_sequences);
	tcase_add_test(test_case, quotes_show_no_control_character);
	tcase_add_test(test_case, nearest_word_is_found);
	tcase_add_test(test_case, ranges_are_said_in_words);
	tcase_add_test(test_case, dates_and_times);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
