/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report_checks.h"

#include "report/format_value.h"
#include "report/paragraph.h"
#include "report/progress_text.h"
#include "report/simulation_text.h"
#include "report/table_text.h"
#include "report/wording.h"

/* --- Rounding: JCGM 100:2008 (GUM) 7.2.6, by hand ------------------------------------------- */

START_TEST(decimals_keep_two_digits_of_the_error)
{
	static const struct {
		double error;
		int decimals;
	} cases[] = {
		{0.0082, 4}, {0.00816, 4}, {0.0996, 2}, {0.0994, 3}, {0.995, 1}, {0.994, 2},
		{1.7, 1},    {9.96, 0},    {17.3, 0},   {99.6, -1},  {345, -1},  {2.3e-7, 8},
	};

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		ck_assert_msg(format_decimals(cases[i].error) == cases[i].decimals,
		              "error %g: %d decimals", cases[i].error, format_decimals(cases[i].error));
}
END_TEST

static void check_interval(double value, double error, const char *shown_value,
                           const char *shown_error)
{
	struct interval interval = {value, error, value - 2 * error, value + 2 * error};
	struct formatted_interval shown;

	ck_assert(format_interval(&interval, &shown));
	ck_assert_str_eq(shown.value, shown_value);
	ck_assert_str_eq(shown.error, shown_error);
}

/* The full numbers and what the standard prints for them: GUM H.3 (y1, y2, b(30)) and H.2 (R; Z,
 * printed there with three digits, is rounded here to two). */
START_TEST(intervals_round_as_the_gum_prints)
{
	check_interval(-0.171203790, 0.002877598, "-0.1712", "0.0029");
	check_interval(0.002182698, 0.000667939, "0.00218", "0.00067");
	check_interval(-0.149376813, 0.004138596, "-0.1494", "0.0041");
	check_interval(127.732170, 0.071071, "127.732", "0.071");
	check_interval(254.259702, 0.236336, "254.26", "0.24");
	check_interval(1234.5, 345.0, "1230", "350");
}
END_TEST

START_TEST(interval_ends_round_to_the_place_of_the_value)
{
	struct interval interval = {0.19337, 0.00816, 0.17801, 0.21006};
	struct formatted_interval shown;

	ck_assert(format_interval(&interval, &shown));
	ck_assert_str_eq(shown.low, "0.1780");
	ck_assert_str_eq(shown.high, "0.2101");
}
END_TEST

START_TEST(a_value_without_error_is_shown_plain)
{
	struct interval interval = {0.163, 0, 0.163, 0.163};
	struct formatted_interval shown;
	char number[NUMBER_SIZE];

	ck_assert(!format_interval(&interval, &shown));
	ck_assert_str_eq(shown.value, "0.163");
	ck_assert_str_eq(shown.error, "");
	format_plain(36.3, number);
	ck_assert_str_eq(number, "36.3");
	format_plain(93.663, number);
	ck_assert_str_eq(number, "93.66");
	format_plain(0, number);
	ck_assert_str_eq(number, "0");
	format_plain(12345.6, number);
	ck_assert_str_eq(number, "12346");
	format_plain(-0.4, number);
	ck_assert_str_eq(number, "-0.4");
}
END_TEST

/* --- Paragraphs ----------------------------------------------------------------------------- */

START_TEST(paragraphs_break_at_column_80)
{
	struct text text = {0};

	/* 20 words of 7 letters: 2 + 7 then 8 more each; 9 on a line reach 73, 10 would reach 81. */
	for (int i = 0; i < 20; i++)
		text_add(&text, "abcdefg ");
	{
		struct text out = {0};

		paragraph_add(&out, 2, 4, text_bytes(&text));
		check_columns(&out);
		check_text(&out,
		           "  abcdefg abcdefg abcdefg abcdefg abcdefg abcdefg abcdefg abcdefg abcdefg\n"
		           "    abcdefg abcdefg abcdefg abcdefg abcdefg abcdefg abcdefg abcdefg abcdefg\n"
		           "    abcdefg abcdefg\n");
	}
	text_free(&text);
}
END_TEST

START_TEST(a_line_of_exactly_80_columns_stays_whole)
{
	char word[80];
	struct text out = {0};

	memset(word, 'x', 78);
	word[78] = '\0';
	paragraph_print(&out, 0, 0, "%s y", word);
	ck_assert_uint_eq(out.length, 81);
	text_free(&out);
	paragraph_print(&out, 0, 0, "%sx y", word);
	ck_assert_ptr_nonnull(strstr(text_bytes(&out), "x\ny\n"));
	text_free(&out);
	/* Columns, not bytes: 40 signs of two bytes and their blanks are 79 columns. */
	for (int i = 0; i < 40; i++)
		text_add(&out, i > 0 ? " \302\261" : "\302\261");
	{
		struct text line = {0};

		paragraph_add(&line, 0, 0, text_bytes(&out));
		ck_assert_uint_eq(line.length, out.length + 1);
		text_free(&line);
	}
	text_free(&out);
}
END_TEST

START_TEST(facts_hang_behind_their_name)
{
	struct text out = {0};

	paragraph_fact(&out, "source", 9, "one two\nthree");
	paragraph_fact(&out, "empty", 9, "");
	check_text(&out, "  source   one two\n           three\n  empty\n");
}
END_TEST

/* --- Progress, tables, words ---------------------------------------------------------------- */

START_TEST(progress_shows_share_and_time_left)
{
	struct text out = {0};

	/* 28 s for 35 %: 52 s remain. */
	progress_text(0.35, 28, "fitting", &out);
	check_text(&out, "fitting [#######-------------]  35 %, 0:52 left");
	progress_text(0, 3, "starting", &out);
	check_text(&out, "starting [--------------------]   0 %");
	progress_text(1.7, 3, "done", &out);
	check_text(&out, "done [####################] 100 %, 0:00 left");
	progress_text(0.001, 10, "a phase with a name that is longer than it should be", &out);
	ck_assert_uint_le(text_columns(text_bytes(&out)), 79);
	check_contains(&out, ", 2:46:30 left"); /* 9990 s */
	text_free(&out);
}
END_TEST

START_TEST(presets_mark_what_is_assumed)
{
	struct text out = {0};

	tables_text_print(&out);
	check_columns(&out);
	check_contains(&out, "\nsnooker-12ft\n"
	                     "  table        snooker-12ft, 3.5690 m x 1.7780 m nose to nose\n"
	                     "  balls        52.5 mm, 0.142 kg\n"
	                     "  noses        29.4 mm above the bed (assumed)\n"
	                     "  sight marks  none\n"
	                     "  pockets      half mouths: corner 44 mm, side 51 mm (assumed)\n"
	                     "  cloth        napped: geometry only; fit with --nap\n");
	check_contains(&out, "  balls        50.8 mm, 0.116 kg; cue ball 47.6 mm, 0.094 kg\n");
	text_free(&out);
}
END_TEST

START_TEST(a_simulated_file_says_so)
{
	struct constants constants = constants_centre();
	struct text out = {0};

	constants.value[SLIDING_FRICTION] = 0.2125;
	simulation_note(&constants, 4711, true, &out);
	ck_assert_ptr_eq(strstr(text_bytes(&out), "simulated with seed 4711; sliding_friction 0.2125; "),
	                 text_bytes(&out));
	text_free(&out);
	simulation_note(&constants, 4711, false, &out);
	check_contains(&out, "simulated without noise; ");
	check_lacks(&out, "4711");
	text_free(&out);
}
END_TEST

/* Terms of 0 are not told: the model without them is the usual one. */
START_TEST(a_simulated_file_tells_the_terms_that_count)
{
	struct constants constants = constants_centre();
	struct protocol protocol = {.name = "p"};
	struct text out = {0};

	simulation_note(&constants, 3, true, &out);
	check_lacks(&out, "slope");
	check_lacks(&out, "bed_restitution");
	text_free(&out);
	constants.terms.slope_short = -0.00137;
	constants.terms.bed_restitution = 0.517;
	simulation_note(&constants, 3, true, &out);
	check_contains(&out, "; ball_friction 0.06; slope_short -0.00137; bed_restitution 0.517");
	check_lacks(&out, "slope_long");
	text_free(&out);
	simulation_json_print(&protocol, &constants, 3, true, 0, "f.csv", NULL, "", &out);
	check_contains(&out, "    \"slope_short\": -0.00137,\n    \"bed_restitution\": 0.517\n  }");
	check_lacks(&out, "liveliness");
	text_free(&out);
}
END_TEST

/* formats.md 5: 0 uphill to the foot, 90 to the right. */
START_TEST(uphill_is_said_in_words)
{
	static const struct {
		double degrees;
		const char *words;
	} cases[] = {
		{0, "toward the foot"},        {22.4, "toward the foot"},
		{22.6, "between foot and right"}, {91.3, "toward the right"},
		{156.7, "between right and head"}, {180, "toward the head"},
		{225.1, "between head and left"}, {270, "toward the left"},
		{311, "between left and foot"}, {337.6, "toward the foot"},
		{360, "toward the foot"},      {-89.9, "toward the left"},
	};

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		ck_assert_str_eq(wording_uphill(cases[i].degrees), cases[i].words);
}
END_TEST

START_TEST(units_of_notes_follow_their_number)
{
	ck_assert_str_eq(wording_note_unit(NOTE_CLOTH_DAYS, "1"), " day");
	ck_assert_str_eq(wording_note_unit(NOTE_CLOTH_DAYS, "0"), " days");
	ck_assert_str_eq(wording_note_unit(NOTE_CLOTH_DAYS, "11"), " days");
	ck_assert_str_eq(wording_note_unit(NOTE_HUMIDITY_PERCENT, "1"), " %");
	ck_assert_str_eq(wording_note_unit(NOTE_PLAYER, "1"), "");
}
END_TEST

START_TEST(every_word_is_there)
{
	for (int id = 0; id < CONSTANT_COUNT; id++)
		ck_assert_uint_gt(strlen(wording_settle(id)), 20);
	for (int id = 0; id < CONDITION_COUNT; id++) {
		const struct condition_wording *wording = wording_condition(id);

		/* The column of titles is 31 wide. */
		ck_assert_uint_lt(strlen(wording->title), 31);
		ck_assert_uint_gt(strlen(wording->unit), 0);
		ck_assert_uint_gt(strlen(wording->meaning), 10);
	}
	for (int state = 0; state < KNOWLEDGE_COUNT; state++) {
		ck_assert_uint_gt(strlen(wording_state(state)), 3);
		ck_assert_uint_gt(strlen(wording_state_meaning(state)), 10);
	}
	for (int note = 0; note < SESSION_NOTES; note++)
		ck_assert_uint_gt(strlen(wording_note_title(note)), 3);
}
END_TEST

static TCase *report_case(void)
{
	TCase *tests = tcase_create("numbers and words");

	tcase_add_test(tests, decimals_keep_two_digits_of_the_error);
	tcase_add_test(tests, intervals_round_as_the_gum_prints);
	tcase_add_test(tests, interval_ends_round_to_the_place_of_the_value);
	tcase_add_test(tests, a_value_without_error_is_shown_plain);
	tcase_add_test(tests, paragraphs_break_at_column_80);
	tcase_add_test(tests, a_line_of_exactly_80_columns_stays_whole);
	tcase_add_test(tests, facts_hang_behind_their_name);
	tcase_add_test(tests, progress_shows_share_and_time_left);
	tcase_add_test(tests, presets_mark_what_is_assumed);
	tcase_add_test(tests, a_simulated_file_says_so);
	tcase_add_test(tests, a_simulated_file_tells_the_terms_that_count);
	tcase_add_test(tests, uphill_is_said_in_words);
	tcase_add_test(tests, units_of_notes_follow_their_number);
	tcase_add_test(tests, every_word_is_there);
	return tests;
}

int main(void)
{
	Suite *suite = suite_create("report");

	suite_add_tcase(suite, report_case());
	return run_suite(suite);
}
