/* SPDX-License-Identifier: GPL-3.0-or-later */

/* A measurement printed and read back is the same (formats.md, first paragraph), and the settings
 * of a command line are those of a file. */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/random.h"
#include "files/plain_number.h"
#include "files_support.h"

static struct support_finder finder_context;
static struct fault_list faults;
static struct random_stream stream;

static void setup(void)
{
	memset(&finder_context, 0, sizeof finder_context);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	support_finder_free(&finder_context);
	fault_list_free(&faults);
}

static void parse(const char *bytes, size_t length, struct measurement *measurement)
{
	struct protocol_finder finder = support_finder(&finder_context);
	const struct protocol *protocol;
	enum status status = measurement_file_parse("x.csv", bytes, length, &finder, measurement,
	                                            &protocol, &faults);
	char *said = support_sentences(&faults, 0);
	ck_assert_str_eq(said, "");
	free(said);
	ck_assert_int_eq(status, STATUS_OK);
}

static void check_bits(double a, double b)
{
	ck_assert_msg(memcmp(&a, &b, sizeof a) == 0, "%.17g is not %.17g", a, b);
}

static void check_text(const char *a, const char *b)
{
	ck_assert_int_eq(a == NULL, b == NULL);
	if (a != NULL)
		ck_assert_str_eq(a, b);
}

static void check_table(const struct table *a, const struct table *b)
{
	ck_assert_str_eq(a->preset, b->preset);
	check_bits(a->length, b->length);
	check_bits(a->width, b->width);
	check_bits(a->nose_height, b->nose_height);
	check_bits(a->sight_setback, b->sight_setback);
	ck_assert_int_eq(a->pockets, b->pockets);
	if (a->pockets) {
		check_bits(a->corner_mouth, b->corner_mouth);
		check_bits(a->side_mouth, b->side_mouth);
	}
	check_bits(a->ball_diameter, b->ball_diameter);
	check_bits(a->ball_mass, b->ball_mass);
	check_bits(a->cue_ball_diameter, b->cue_ball_diameter);
	check_bits(a->cue_ball_mass, b->cue_ball_mass);
	ck_assert_uint_eq(a->assumed, b->assumed);
}

static void check_session(const struct session *a, const struct session *b)
{
	check_table(&a->table, &b->table);
	ck_assert_str_eq(a->reference_ball, b->reference_ball);
	ck_assert_uint_eq(a->ball_count, b->ball_count);
	for (size_t i = 0; i < a->ball_count; i++) {
		ck_assert_str_eq(a->balls[i].label, b->balls[i].label);
		check_bits(a->balls[i].diameter, b->balls[i].diameter);
		check_bits(a->balls[i].mass, b->balls[i].mass);
	}
	check_text(a->protocol, b->protocol);
	for (int i = 0; i < SESSION_NOTES; i++)
		check_text(a->notes[i], b->notes[i]);
	check_bits(a->errors.position, b->errors.position);
	check_bits(a->errors.rail, b->errors.rail);
	check_bits(a->errors.watch, b->errors.watch);
	check_bits(a->errors.rest_watch, b->errors.rest_watch);
	check_bits(a->errors.sound, b->errors.sound);
	check_bits(a->errors.frames_per_second, b->errors.frames_per_second);
	ck_assert_int_eq(a->microphone_known, b->microphone_known);
	check_bits(a->microphone_long, b->microphone_long);
	check_bits(a->microphone_short, b->microphone_short);
	check_bits(a->cue_end_mass_ratio, b->cue_end_mass_ratio);
	check_bits(a->tip_width, b->tip_width);
	check_bits(a->diamond_value, b->diamond_value);
}

static void check_reading(const struct reading *a, const struct reading *b)
{
	ck_assert_int_eq(a->kind, b->kind);
	check_bits(a->value, b->value);
	ck_assert_int_eq(a->rail_named, b->rail_named);
	ck_assert_int_eq(a->frozen, b->frozen);
	if (a->rail_named || a->frozen)
		ck_assert_int_eq(a->rail, b->rail);
}

static void check_measurement(const struct measurement *a, const struct measurement *b)
{
	check_session(&a->session, &b->session);
	ck_assert_uint_eq(a->row_count, b->row_count);
	for (size_t i = 0; i < a->row_count; i++) {
		const struct stroke_row *one = &a->rows[i], *other = &b->rows[i];
		ck_assert_str_eq(one->shot, other->shot);
		ck_assert_int_eq(one->try_number, other->try_number);
		check_text(one->at, other->at);
		ck_assert_str_eq(one->player, other->player);
		for (int ball = 0; ball < BALL_ROLES; ball++)
			ck_assert_str_eq(one->ball[ball], other->ball[ball]);
		ck_assert_int_eq(one->valid, other->valid);
		check_text(one->note, other->note);
		for (int k = 0; k < QUANTITY_COUNT; k++)
			check_reading(&one->readings[k], &other->readings[k]);
	}
}

/* Prints, reads back, compares, and prints again. */
static void check_round_trip(const struct measurement *measurement)
{
	struct text text = {0}, second = {0};
	struct measurement again;
	measurement_file_print(measurement, -1, -1, &text);
	ck_assert(!text.failed);
	parse(text.bytes, text.length, &again);
	check_measurement(measurement, &again);
	measurement_file_print(&again, -1, -1, &second);
	ck_assert_str_eq(text.bytes, second.bytes);
	text_free(&text);
	text_free(&second);
	measurement_free(&again);
}

START_TEST(files_of_the_corpus_read_back_the_same)
{
	static const char *const names[] = {
	    "good-plain.csv",  "good-crlf-bom.csv", "good-semicolon.csv",  "good-tab.csv",
	    "good-custom.csv", "good-frames.csv",   "good-tenths.csv",     "good-blackball.csv",
	    "good-carom.csv",  "good-no-rows.csv",  "good-spreadsheet.csv"};
	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
		size_t length;
		struct measurement measurement;
		char *bytes = support_corpus(names[i], &length);
		parse(bytes, length, &measurement);
		check_round_trip(&measurement);
		measurement_free(&measurement);
		free(bytes);
	}
}
END_TEST

/* --- Random measurements ------------------------------------------------------------------- */

static double between(double lowest, double highest)
{
	return lowest + (highest - lowest) * random_uniform(&stream);
}

static bool chance(double probability)
{
	return random_uniform(&stream) < probability;
}

/* A value as the reader makes it of a number written in `unit` to 1. */
static double as_read(double lowest, double highest, double unit)
{
	return between(lowest * unit, highest * unit) / unit;
}

static struct reading random_reading(const struct session *session, struct quantity quantity)
{
	double unit = session->diamond_value, frames = session->errors.frames_per_second;
	struct reading reading = {.kind = READING_VALUE};
	switch (quantity.kind) {
	case QUANTITY_REST_LONG:
		reading.value = as_read(0, 8, unit);
		break;
	case QUANTITY_REST_SHORT:
		reading.value = chance(0.1) ? 1e-7 : as_read(0, 4, unit);
		break;
	case QUANTITY_RAIL:
		reading.rail_named = chance(0.5);
		if (reading.rail_named)
			reading.rail = (enum rail)(random_uniform(&stream) * RAIL_COUNT);
		reading.value = as_read(0, 4, unit);
		break;
	default: /* sounds in their order, so that the row is accepted */
		reading.value =
		    as_read(quantity.number, quantity.number + 0.9, frames > 0 ? frames : 1);
		break;
	}
	return reading;
}

static void random_session(struct session *session)
{
	static struct labelled_ball balls[] = {{"B;C, \"x\"", 0.0573, 0}, {"é", 0, 0.1651}};
	*session = session_default();
	session->protocol = "good-protocol-all.json";
	session->errors.position = between(1e-6, 2);
	session->errors.rail = between(1e-6, 4);
	session->errors.sound = between(1e-9, 1e-6);
	session->errors.frames_per_second = chance(0.5) ? 60 : 0;
	session->diamond_value = chance(0.5) ? 10 : 1;
	session->table.nose_height = between(0.035, 0.045);
	session->table.corner_mouth = between(0.05, 0.09);
	session->table.ball_mass = session->table.cue_ball_mass = between(0.15, 0.18);
	session->notes[NOTE_PLACE] = " upper room, \"2\"; behind\nthe bar ";
	session->notes[NOTE_PLAYER] = "North";
	session->microphone_known = chance(0.5);
	if (session->microphone_known) {
		session->microphone_long = as_read(0, 12, session->diamond_value);
		session->microphone_short = as_read(0, 8, session->diamond_value);
	}
	session->ball_count = 2;
	session->balls = balls;
}

static void random_row(const struct session *session, struct stroke_row *row)
{
	static const char *const players[] = {"North", "South, \"the\" other", "-x"};
	*row = (struct stroke_row){.shot = "pair", .ball = {"A", "O", "O"}, .valid = chance(0.8)};
	row->player = players[(size_t)between(0, 3)];
	row->try_number = chance(0.5) ? (int)between(1, 1000) : 0;
	row->at = chance(0.3) ? "12.25" : NULL;
	row->note = chance(0.3) ? "a kiss, then\r\n\tanother; " : NULL;
	row->ball[BALL_OBJECT] = chance(0.3) ? "é" : "O";
	for (int i = 0; i < QUANTITY_COUNT; i++) {
		struct quantity quantity = quantity_at(i);
		if (quantity.kind != QUANTITY_WATCH && chance(0.6))
			row->readings[i] = random_reading(session, quantity);
	}
}

START_TEST(random_measurements_read_back_the_same)
{
	enum { ROWS = 20 };
	struct stroke_row rows[ROWS];
	struct measurement measurement = {.row_count = ROWS, .rows = rows};
	stream = random_start(577215, (uint64_t)_i);
	random_session(&measurement.session);
	for (size_t i = 0; i < ROWS; i++)
		random_row(&measurement.session, &rows[i]);
	check_round_trip(&measurement);
}
END_TEST

START_TEST(digits_are_those_asked_for)
{
	static const char text[] = "#protocol,good-protocol-all.json\nshot,cue_rest_long,cue_rail1,"
				   "watch1,sound1\nlag,6.84567,left 2.0004,0.93456,0.86149\n";
	struct measurement measurement;
	struct text out = {0};
	parse(text, sizeof text - 1, &measurement);
	measurement_file_print(&measurement, 2, 3, &out);
	ck_assert_str_eq(
	    text_bytes(&out),
	    "#table,pool-9ft\n#protocol,good-protocol-all.json\n"
	    "shot,cue_rest_long,cue_rail1,watch1,sound1\nlag,6.85,left 2.00,0.935,0.861\n");
	text_free(&out);
	measurement_free(&measurement);
}
END_TEST

START_TEST(numbers_are_printed_without_exponent)
{
	static const struct {
		double value;
		const char *text;
	} cases[] = {
	    {0, "0"},
	    {-0.0, "0"},
	    {1.5e-7, "0.00000015"},
	    {4.9406564584124654e-324, NULL},
	    {1e22, "10000000000000000000000"},
	    {123456789012345678.0, "123456789012345680"},
	    {0.1, "0.1"},
	};
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct text out = {0};
		plain_number_print(&out, cases[i].value, 1, -1);
		if (cases[i].text != NULL)
			ck_assert_str_eq(text_bytes(&out), cases[i].text);
		ck_assert_ptr_null(strchr(text_bytes(&out), 'e'));
		ck_assert(strtod(text_bytes(&out), NULL) == cases[i].value);
		text_free(&out);
	}
}
END_TEST

START_TEST(units_divide_back_to_the_same)
{
	static const double units[] = {10, 24, 29.97, 59.94, 60, 240, 960, 1000};
	stream = random_start(662607, 15);
	for (int i = 0; i < 20000; i++) {
		double unit = units[i % 8], written = between(0, i % 3 == 0 ? 1 : 36000), back;
		if (i % 2 == 0)
			written = floor(written); /* a count */
		struct text out = {0};
		plain_number_print(&out, written / unit, unit, -1);
		ck_assert(number_read_plain(out.bytes, out.length, '.', &back));
		check_bits(back / unit, written / unit);
		if (i % 2 == 0)
			ck_assert(back == written);
		text_free(&out);
	}
}
END_TEST

/* --- Settings of a command line ------------------------------------------------------------ */

static enum status apply(struct session *session, struct arena *arena, const char *key,
                         const char *value)
{
	return measurement_setting_apply(session, arena, key, value, &faults);
}

START_TEST(settings_apply_one_by_one)
{
	struct session session = session_default();
	struct arena *arena = arena_create();
	ck_assert_ptr_nonnull(arena);
	ck_assert_int_eq(apply(&session, arena, "table", "carom-10ft"), STATUS_OK);
	ck_assert_int_eq(apply(&session, arena, "nose_height_m", "0.0372"), STATUS_OK);
	ck_assert_int_eq(apply(&session, arena, "ball_mass_kg:white", "0.2083"), STATUS_OK);
	ck_assert_int_eq(apply(&session, arena, "microphone_long", "2.5"), STATUS_OK);
	ck_assert(!session.microphone_known);
	ck_assert_int_eq(apply(&session, arena, "microphone_short", "0"), STATUS_OK);
	ck_assert_int_eq(apply(&session, arena, "player", "West"), STATUS_OK);
	ck_assert_str_eq(session.table.preset, "carom-10ft");
	ck_assert(session.table.nose_height == 0.0372);
	ck_assert(session.ball_count == 1 && session.balls[0].mass == 0.2083);
	ck_assert(session.microphone_known && session.microphone_long == 2.5);
	ck_assert(session.microphone_short == 0);
	ck_assert_str_eq(session.notes[NOTE_PLAYER], "West");
	arena_free(arena);
}
END_TEST

START_TEST(refused_settings_change_nothing)
{
	static const char *const cases[][2] = {
	    {"tabel", "pool-9ft"},      {"table", "pool-9"},          {"length_m", "2.5"},
	    {"nose_height_m", "0.02"},  {"rail_error", "0,1"},        {"diamond_value", "5"},
	    {"protocol", ""},           {"ball_diameter_m:B", "0.1"}, {"rail_error:B", "0.1"},
	    {"temperature_c", "101.5"}, {"date", "tomorrow"},         {"#table", "pool-8ft"},
	};
	struct arena *arena = arena_create();
	struct session session = session_default(), before = session;
	ck_assert_ptr_nonnull(arena);
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		size_t count = faults.count;
		ck_assert_int_eq(apply(&session, arena, cases[i][0], cases[i][1]), STATUS_INPUT);
		ck_assert_uint_eq(faults.count, count + 1);
		check_session(&session, &before);
	}
	char *said = support_sentences(&faults, 1);
	ck_assert(strncmp(said, "#table: found \"pool-9\"; accepted: pool-9ft, ", 44) == 0);
	free(said);
	arena_free(arena);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("measurement_print");
	TCase *test_case = tcase_create("measurement_print");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_test(test_case, files_of_the_corpus_read_back_the_same);
	tcase_add_loop_test(test_case, random_measurements_read_back_the_same, 0, 100);
	tcase_add_test(test_case, digits_are_those_asked_for);
	tcase_add_test(test_case, numbers_are_printed_without_exponent);
	tcase_add_test(test_case, units_divide_back_to_the_same);
	tcase_add_test(test_case, settings_apply_one_by_one);
	tcase_add_test(test_case, refused_settings_change_nothing);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
