/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Measurement files as formats.md 3 describes them; what is refused stands in corpus/. The values
 * expected are those written in the files of the corpus, lengths turned into diamonds by hand: one
 * diamond of pool-9ft is 31.75 cm or 12.5 in, both ways. */
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files/disk.h"
#include "files_support.h"

static struct support_finder finder_context;
static struct fault_list faults;
static struct measurement measurement;
static const struct protocol *protocol;

static void setup(void)
{
	memset(&finder_context, 0, sizeof finder_context);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	measurement_free(&measurement);
	support_finder_free(&finder_context);
	fault_list_free(&faults);
}

static enum status parse(const char *bytes, size_t length)
{
	struct protocol_finder finder = support_finder(&finder_context);
	return measurement_file_parse("x.csv", bytes, length, &finder, &measurement, &protocol,
	                              &faults);
}

static void read_corpus(const char *name)
{
	size_t length;
	char *bytes = support_corpus(name, &length);
	enum status status = parse(bytes, length);
	free(bytes);
	char *said = support_sentences(&faults, 0);
	ck_assert_str_eq(said, "");
	free(said);
	ck_assert_int_eq(status, STATUS_OK);
	ck_assert_uint_eq(finder_context.calls, 1);
}

static const struct reading *reading(size_t row, const char *name)
{
	int number;
	ck_assert_uint_lt(row, measurement.row_count);
	ck_assert(quantity_from_name(name, strlen(name), &number));
	return &measurement.rows[row].readings[number];
}

static void check_value(size_t row, const char *name, double value)
{
	const struct reading *read = reading(row, name);
	ck_assert_int_eq(read->kind, READING_VALUE);
	ck_assert_msg(fabs(read->value - value) <= 1e-13 * fabs(value), "%s of row %zu is %.17g",
	              name, row, read->value);
}

static void check_missing(size_t row, const char *name)
{
	ck_assert_int_eq(reading(row, name)->kind, READING_MISSING);
}

START_TEST(plain_file)
{
	read_corpus("good-plain.csv");
	const struct stroke_row *rows = measurement.rows;
	ck_assert_str_eq(measurement.file, "x.csv");
	ck_assert_int_eq(measurement.separator, ',');
	ck_assert_uint_eq(measurement.row_count, 4);
	ck_assert_ptr_eq(protocol, &finder_context.protocol);
	ck_assert_str_eq(measurement.session.protocol, "good-protocol-all.json");
	ck_assert_str_eq(measurement.session.notes[NOTE_DATE], "2026-03-14");
	ck_assert_str_eq(rows[0].shot, "lag");
	ck_assert_str_eq(rows[0].player, "North");
	ck_assert_int_eq(rows[1].try_number, 2);
	ck_assert_str_eq(rows[1].note, "second try");
	ck_assert_ptr_null(rows[0].note);
	ck_assert_str_eq(rows[3].ball[BALL_CUE], "A");
	ck_assert_str_eq(rows[3].ball[BALL_OBJECT], "O");
	ck_assert(rows[0].valid && rows[0].line == 7 && rows[2].line == 9);
	ck_assert_uint_eq(rows[3].line, 11); /* a blank line stands before it */
	check_value(0, "cue_rest_long", 6.85);
	check_value(0, "watch2", 8.41);
	check_value(1, "cue_rest_long", 6.125);
	check_value(1, "cue_rest_short", 2.375);
	check_value(1, "cue_rail1", 2.5);
	check_missing(1, "watch1");
	check_missing(1, "watch2");
	check_missing(1, "sound1");
}
END_TEST

START_TEST(rails_lengths_and_frozen_balls)
{
	read_corpus("good-plain.csv");
	int rail;
	ck_assert(reading(0, "cue_rail1")->rail_named);
	ck_assert_int_eq(reading(0, "cue_rail1")->rail, RAIL_FOOT);
	ck_assert(!reading(1, "cue_rail1")->rail_named);
	check_value(2, "cue_rest_long", 2.5);
	check_value(2, "cue_rest_short", 79.4 / 31.75);
	check_value(2, "cue_rail1", 79.4 / 31.75);
	ck_assert_int_eq(reading(2, "cue_rail1")->rail, RAIL_LEFT);
	/* The centre of a ball of 57.15 mm lies 28.575 mm, 0.09 diamonds, off the nose. */
	check_value(3, "cue_rest_long", 7.91);
	check_value(3, "cue_rest_short", 3.91);
	ck_assert(reading(3, "cue_rest_long")->frozen && reading(3, "cue_rest_short")->frozen);
	ck_assert_int_eq(reading(3, "cue_rest_long")->rail, RAIL_FOOT);
	ck_assert_int_eq(reading(3, "cue_rest_short")->rail, RAIL_RIGHT);
	ck_assert(!reading(3, "cue_rail1")->frozen);
	ck_assert(quantity_from_name("cue_rail1", 9, &rail));
	ck_assert_uint_eq(measurement.rows[0].columns[rail], 5);
	ck_assert(quantity_from_name("object_rail4", 12, &rail));
	ck_assert_uint_eq(measurement.rows[0].columns[rail], 0);
}
END_TEST

START_TEST(byte_order_mark_line_ends_and_quotes)
{
	size_t length;
	char sha256[65];
	read_corpus("good-crlf-bom.csv");
	ck_assert_uint_eq(measurement.row_count, 2);
	ck_assert_str_eq(measurement.session.notes[NOTE_NOTE], "a \"fast\" cloth, dry");
	ck_assert_str_eq(measurement.rows[0].note, "cold,\r\ntwo lines");
	ck_assert_uint_eq(measurement.rows[0].line, 6);
	ck_assert_uint_eq(measurement.rows[1].line, 9);
	char *bytes = support_corpus("good-crlf-bom.csv", &length);
	disk_sha256(bytes, length, sha256);
	ck_assert_str_eq(measurement.sha256, sha256);
	free(bytes);
}
END_TEST

START_TEST(semicolons_with_decimal_commas)
{
	read_corpus("good-semicolon.csv");
	ck_assert_int_eq(measurement.separator, ';');
	ck_assert_str_eq(measurement.session.table.preset, "pool-8ft");
	ck_assert_str_eq(measurement.session.notes[NOTE_TEMPERATURE_C], "21.5");
	ck_assert_str_eq(measurement.session.notes[NOTE_HUMIDITY_PERCENT], "47.25");
	ck_assert_str_eq(measurement.session.notes[NOTE_CLOTH_DAYS], "40");
	ck_assert(measurement.session.errors.position == 0.04);
	ck_assert_uint_eq(measurement.row_count, 3);
	check_value(0, "cue_rest_long", 2.5);
	check_value(0, "watch1", 0.931);
	check_value(1, "cue_rest_long", 2.625);
	check_value(2, "cue_rest_long", 2.5);
	ck_assert_str_eq(measurement.rows[0].at, "12.5");
	ck_assert_str_eq(measurement.rows[1].at, "19:05:33");
	ck_assert_str_eq(measurement.rows[2].at, "2026-03-14T19:07:02+01:00");
}
END_TEST

START_TEST(tabs)
{
	read_corpus("good-tab.csv");
	ck_assert_int_eq(measurement.separator, '\t');
	check_value(0, "cue_rest_long", 3.25);
	ck_assert_str_eq(measurement.rows[0].player, "South");
	ck_assert_str_eq(measurement.rows[1].player, "");
}
END_TEST

START_TEST(settings_in_any_order)
{
	read_corpus("good-custom.csv");
	const struct session *session = &measurement.session;
	const struct table *table = &session->table;
	ck_assert_str_eq(table->preset, "custom");
	ck_assert(table->length == 2.235 && table->width == 1.1175 && table->nose_height == 0.0357);
	ck_assert(table->sight_setback == 0 && !table->pockets);
	ck_assert(table->ball_diameter == 0.0572 && table->cue_ball_diameter == 0.0572);
	ck_assert(table->ball_mass == 0.1697 && table->cue_ball_mass == 0.1697);
	ck_assert_uint_eq(table->assumed, TABLE_ASSUMED_MOUTHS);
	ck_assert_uint_eq(session->ball_count, 2);
	ck_assert_str_eq(session->balls[0].label, "B");
	ck_assert(session->balls[0].diameter == 0.05685 && session->balls[0].mass == 0.1583);
	ck_assert_str_eq(session->balls[1].label, "striped 9");
	ck_assert(session->balls[1].diameter == 0 && session->balls[1].mass == 0.1612);
	ck_assert_str_eq(session->reference_ball, "B");
	ck_assert(session->microphone_known);
	ck_assert(session->microphone_long == 8.35 && session->microphone_short == 4.2);
	ck_assert(session->cue_end_mass_ratio == 28.5 && session->tip_width == 0.0127);
	ck_assert(session->errors.rail == 0.12 && session->errors.watch == 0.085);
	ck_assert(session->errors.rest_watch == 0.31 && session->errors.sound == 0.0021);
	ck_assert(session->errors.position == ERROR_DEFAULT_POSITION);
}
END_TEST

START_TEST(a_balls_own_size_counts_where_it_is_frozen)
{
	read_corpus("good-custom.csv");
	const double diamond = 2.235 / 8;
	check_value(0, "cue_rest_long", 0.05685 / 2 / diamond);
	check_value(0, "object_rest_short", 0.0572 / 2 / diamond);
	check_value(1, "cue_rest_short", 4 - 0.0572 / 2 / diamond);
	check_value(1, "object_rest_long", 8 - 0.0572 / 2 / diamond);
	ck_assert(measurement.rows[0].valid && !measurement.rows[1].valid);
	ck_assert(measurement.rows[2].valid);
	ck_assert_str_eq(measurement.rows[0].ball[BALL_OBJECT], "striped 9");
	ck_assert_str_eq(measurement.rows[2].ball[BALL_CUE], "C");
}
END_TEST

START_TEST(blackball_has_two_sizes_and_pockets)
{
	read_corpus("good-blackball.csv");
	const double diamond = 1.829 / 8;
	check_value(0, "cue_rest_long", 8 - 0.0476 / 2 / diamond);
	check_value(0, "object_rest_long", 8 - 0.0508 / 2 / diamond);
	ck_assert_int_eq(reading(1, "cue_rest_long")->kind, READING_POCKET);
	ck_assert_int_eq(reading(1, "cue_rest_short")->kind, READING_POCKET);
	/* Stated numbers are no longer assumed, though they are the preset's. */
	ck_assert_uint_eq(measurement.session.table.assumed, 0);
}
END_TEST

START_TEST(frames_become_seconds)
{
	read_corpus("good-frames.csv");
	ck_assert(measurement.session.errors.frames_per_second == 59.94);
	ck_assert(reading(0, "watch1")->value == 57 / 59.94);
	ck_assert(reading(0, "sound2")->value == 170 / 59.94);
	ck_assert(reading(1, "watch1")->value == 41.5 / 59.94);
	ck_assert(reading(2, "sound2")->value == 88 / 59.94);
	check_missing(2, "sound1");
}
END_TEST

START_TEST(diamonds_written_as_ten)
{
	read_corpus("good-tenths.csv");
	check_value(0, "cue_rest_long", 2.5);
	check_value(0, "cue_rail1", 2.3);
	check_value(1, "cue_rest_long", 6.853);
	check_value(1, "cue_rail1", 3.51);
	check_value(2, "cue_rest_long", 2.5); /* 31.25in */
	check_value(1, "cue_rest_short", 0.09);
	ck_assert(measurement.session.microphone_long == 8.35);
	ck_assert(measurement.session.microphone_short == 2);
}
END_TEST

START_TEST(spreadsheets_add_empty_cells_and_rows)
{
	read_corpus("good-spreadsheet.csv");
	ck_assert_uint_eq(measurement.row_count, 2);
	ck_assert_uint_eq(measurement.rows[1].line, 9);
	ck_assert_ptr_null(measurement.session.notes[NOTE_PLACE]);
	ck_assert_ptr_null(measurement.session.notes[NOTE_TEMPERATURE_C]);
}
END_TEST

START_TEST(separator_shows_in_the_header)
{
	static const struct {
		const char *text;
		char separator;
	} cases[] = {
	    {"#note,a;b;c\n#protocol,good-protocol-all.json\nshot,try\n", ','},
	    {"#note;a,b,c\n#protocol;good-protocol-all.json\nshot;try\n", ';'},
	    {"#note\ta,b;c\n#protocol\tgood-protocol-all.json\nshot\ttry\n", '\t'},
	    {"#protocol;good-protocol-all.json\nshot\n", ';'},
	    {"#protocol,good-protocol-all.json\nshot\n", ','},
	    {"#protocol\tgood-protocol-all.json\nshot\n", '\t'},
	    {"#note,\"first;line\nsecond\"\n#protocol,good-protocol-all.json\nshot,try\n", ','},
	};
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		ck_assert_int_eq(parse(cases[i].text, strlen(cases[i].text)), STATUS_OK);
		ck_assert_int_eq(measurement.separator, cases[i].separator);
		measurement_free(&measurement);
	}
}
END_TEST

START_TEST(finder_is_told_what_the_file_says)
{
	static const char unnamed[] = "shot\nlag\n", blank[] = "#protocol,\nshot\nlag\n";
	ck_assert_int_eq(parse(unnamed, sizeof unnamed - 1), STATUS_INPUT);
	ck_assert_uint_eq(finder_context.calls, 1);
	ck_assert(!finder_context.asked_by_name);
	ck_assert_ptr_null(protocol);
	ck_assert_int_eq(parse(blank, sizeof blank - 1), STATUS_INPUT);
	ck_assert_uint_eq(finder_context.calls, 1); /* what it says was refused already */
}
END_TEST

START_TEST(refused_file_leaves_nothing)
{
	struct protocol_finder finder = support_finder(&finder_context);
	memset(&measurement, 0x5A, sizeof measurement);
	ck_assert_int_eq(parse("", 0), STATUS_INPUT);
	ck_assert_ptr_null(measurement.arena);
	ck_assert_ptr_null(measurement.rows);
	ck_assert_uint_eq(measurement.row_count, 0);
	ck_assert_int_eq(
	    measurement_file_read("/nonexistent.csv", &finder, &measurement, &protocol, &faults),
	    STATUS_INPUT);
	ck_assert_ptr_null(measurement.arena);
}
END_TEST

START_TEST(file_on_disk_keeps_its_path)
{
	struct protocol_finder finder = support_finder(&finder_context);
	const char *path = support_path("tests/unit/corpus/good-carom.csv");
	char *kept = strdup(path);
	ck_assert_int_eq(measurement_file_read(kept, &finder, &measurement, &protocol, &faults),
	                 STATUS_OK);
	ck_assert_str_eq(measurement.file, kept);
	check_value(0, "cue_rest_long", 5.125);
	free(kept);
}
END_TEST

START_TEST(reading_ends_after_too_many_faults)
{
	struct text text = {0};
	text_add(&text, "#protocol,good-protocol-all.json\nshot,try\n");
	for (int i = 0; i < 2500; i++)
		text_add(&text, "lag,0\n");
	ck_assert(!text.failed);
	ck_assert_int_eq(parse(text.bytes, text.length), STATUS_INPUT);
	ck_assert_uint_eq(faults.count, 2001);
	ck_assert_str_eq(faults.items[2000].next, "mend those first");
	ck_assert_uint_eq(faults.items[2000].line, 2003);
	text_free(&text);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("measurement_file");
	TCase *test_case = tcase_create("measurement_file");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_test(test_case, plain_file);
	tcase_add_test(test_case, rails_lengths_and_frozen_balls);
	tcase_add_test(test_case, byte_order_mark_line_ends_and_quotes);
	tcase_add_test(test_case, semicolons_with_decimal_commas);
	tcase_add_test(test_case, tabs);
	tcase_add_test(test_case, settings_in_any_order);
	tcase_add_test(test_case, a_balls_own_size_counts_where_it_is_frozen);
	tcase_add_test(test_case, blackball_has_two_sizes_and_pockets);
	tcase_add_test(test_case, frames_become_seconds);
	tcase_add_test(test_case, diamonds_written_as_ten);
	tcase_add_test(test_case, spreadsheets_add_empty_cells_and_rows);
	tcase_add_test(test_case, separator_shows_in_the_header);
	tcase_add_test(test_case, finder_is_told_what_the_file_says);
	tcase_add_test(test_case, refused_file_leaves_nothing);
	tcase_add_test(test_case, file_on_disk_keeps_its_path);
	tcase_add_test(test_case, reading_ends_after_too_many_faults);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
