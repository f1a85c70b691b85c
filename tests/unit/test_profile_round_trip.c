/* SPDX-License-Identifier: GPL-3.0-or-later */

/* A profile printed and read back is the same, every double bit for bit (formats.md, first
 * paragraph): profiles of random numbers of all sizes, with texts that need escapes. */
#include <check.h>
#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "files/profile_file.h"
#include "files_support.h"

static struct fault_list faults;

static void setup(void)
{
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	fault_list_free(&faults);
}

static struct random_stream stream;

/* A finite double of any size, now and then one at the edge of what a double holds. */
static double any(void)
{
	static const double edges[] = {0.0,      -0.0,     DBL_MIN, DBL_MAX,
	                               -DBL_MAX, 4.9e-324, 0.1,     1.0 / 3};
	double choice = random_uniform(&stream);
	if (choice < 0.1)
		return edges[(size_t)(choice * 80)];
	return random_normal(&stream) * pow(10, 600 * (random_uniform(&stream) - 0.5));
}

static double finite_double(void)
{
	double value;
	do
		value = any();
	while (!isfinite(value));
	return value;
}

static double between(double lowest, double highest)
{
	return lowest + (highest - lowest) * random_uniform(&stream);
}

static struct interval random_interval(double value)
{
	double a = finite_double(), b = finite_double();
	return (struct interval){value, fabs(finite_double()), fmin(a, b), fmax(a, b)};
}

static struct estimate random_estimate(double lowest, double highest, bool learned)
{
	enum knowledge state = (enum knowledge)(random_uniform(&stream) * KNOWLEDGE_COUNT);
	struct estimate estimate = {.state = state, .best.value = between(lowest, highest)};
	estimate.has_interval = state != KNOWLEDGE_HELD || random_uniform(&stream) < 0.3;
	if (estimate.has_interval)
		estimate.best = random_interval(estimate.best.value);
	estimate.has_learned = learned && random_uniform(&stream) < 0.7;
	if (estimate.has_learned)
		estimate.learned = between(-1, 1);
	estimate.has_posterior = state == KNOWLEDGE_NOT_DETERMINED && random_uniform(&stream) < 0.7;
	if (estimate.has_posterior)
		estimate.posterior = random_interval(between(lowest, highest));
	return estimate;
}

static void random_correlation(struct profile *profile)
{
	static const char *order[] = {"ball_friction", "grip:9 \"striped\"", "sliding_friction"};
	static double matrix[9];
	for (int i = 0; i < 3; i++) {
		matrix[4 * i] = 1;
		for (int k = 0; k < i; k++)
			matrix[3 * i + k] = matrix[3 * k + i] = between(-1, 1);
	}
	profile->correlation_count = 3;
	profile->correlation_order = order;
	profile->correlation = matrix;
}

static void random_numbers(struct profile *profile)
{
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);
		profile->constants[i] = random_estimate(prior->lowest, prior->highest, true);
	}
	for (int i = 0; i < CONDITION_COUNT; i++)
		profile->conditions[i] = random_estimate(-1e9, 1e9, false);
	profile->seed = (uint64_t)(random_uniform(&stream) * 18e18);
	profile->chi_square = fabs(finite_double());
	profile->degrees_of_freedom = finite_double();
	profile->scaled = random_uniform(&stream) < 0.5;
	profile->has_lack_of_fit_p = random_uniform(&stream) < 0.5;
	if (profile->has_lack_of_fit_p)
		profile->lack_of_fit_p = random_uniform(&stream);
}

/* Some constants with an error of the model. */
static void random_model_errors(struct profile *profile)
{
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		struct interval interval = random_interval(between(0, 1));
		if (random_uniform(&stream) < 0.6)
			continue;
		profile->model_errors[i] =
		    (struct profile_model_error){true, interval.standard_error, interval.low95,
		                                 interval.high95, "foot_rail, drift"};
	}
}

/* Slopes on which a ball stops, a direction where the steepness has one. */
static void random_terms(struct profile *profile)
{
	double most = profile->constants[ROLLING_RESISTANCE].best.value * 0.98; /* < 1.4 / sqrt(2) */
	struct profile_slope *slope = &profile->slope;
	profile->has_slope = random_uniform(&stream) < 0.7;
	profile->has_liveliness_fall = random_uniform(&stream) < 0.5;
	if (profile->has_slope) {
		slope->along = random_estimate(-most, most, true);
		slope->across = random_estimate(-most, most, true);
		slope->steepness = random_estimate(0, 71, true);
		slope->has_direction = slope->steepness.state != KNOWLEDGE_NOT_DETERMINED &&
		                       (slope->steepness.has_interval
		                            ? slope->steepness.best.low95 > 0
		                            : slope->steepness.best.value > 0);
		if (slope->has_direction)
			slope->direction = random_estimate(0, 360, true);
	}
	if (profile->has_liveliness_fall)
		profile->liveliness_fall = random_estimate(0, 0.2, true);
	profile->has_nap = random_uniform(&stream) < 0.5;
	if (profile->has_nap)
		profile->nap = random_estimate(-most, most, true);
}

/* How the rails differ, or that they do not. */
static void random_rails(struct profile *profile)
{
	profile->has_rails = random_uniform(&stream) < 0.5;
	for (int i = 0; profile->has_rails && i < RAIL_COUNT; i++) {
		profile->rails.rail[i].liveliness = random_estimate(0.001, 10, true);
		profile->rails.rail[i].grip = random_estimate(0.001, 10, true);
	}
}

static struct interval limited_interval(double lowest, double highest)
{
	double a = between(lowest, highest), b = between(lowest, highest);
	return (struct interval){between(lowest, highest), fabs(finite_double()), fmin(a, b),
	                         fmax(a, b)};
}

/* Two sessions of players, or nothing known of any. Spreads that were not told are left out. */
static void random_players(struct profile *profile)
{
	static const double highest[PLAYER_SPREADS] = {10, 180, 2, 2};
	static struct profile_player players[2];
	memset(players, 0, sizeof players);
	profile->player_count = random_uniform(&stream) < 0.5 ? 0 : 2;
	profile->players = players;
	for (size_t i = 0; i < profile->player_count; i++) {
		players[i].name = i == 0 ? "" : "O'Hara \"ü\"";
		players[i].file = "täg\\1.csv";
		for (int k = 0; k < PLAYER_SPREADS; k++) {
			struct interval some = limited_interval(0, highest[k]);
			if (random_uniform(&stream) < 0.3)
				continue;
			players[i].spread[k] = (struct profile_spread){
			    true, 2 + (size_t)between(0, 1e6), some.value, some.low95, some.high95};
		}
		players[i].offset[PLAYER_SPEED_FACTOR] = limited_interval(1e-3, 1000);
		players[i].offset[PLAYER_HEIGHT_OFFSET] = limited_interval(-2, 2);
		players[i].offset[PLAYER_SIDE_OFFSET] = limited_interval(-2, 2);
	}
}

/* A profile with texts that need escapes and tables other than their preset. */
static struct profile random_profile(struct profile_ball balls[2])
{
	static struct set_aside_row rows[] = {{"a, \"b\".csv", 12, "cut", "kiss\nand é"},
	                                      {"", 0, "lag", ""}};
	static struct profile_source sources[] = {{.file = "täg\\1.csv", .protocol = ""}};
	struct profile profile = {.tool_version = "0.0.1-x", .made = "2026-03-14T21:30:05Z"};
	struct session session = session_default();
	profile.table = random_uniform(&stream) < 0.5 ? table_custom(between(2, 3), between(1, 1.5))
	                                              : session.table;
	profile.table.nose_height = between(0.035, 0.045);
	profile.table.corner_mouth = between(0.05, 0.09);
	profile.table.ball_mass = between(0.1, 0.2);
	profile.table.cue_ball_diameter = between(0.0561, 0.0569);
	profile.table.pockets = random_uniform(&stream) < 0.5;
	profile.notes[NOTE_PLACE] = "Upper \"room\"\\2";
	profile.notes[NOTE_HUMIDITY_PERCENT] = "47.25";
	balls[0] = (struct profile_ball){.label = "A", .reference = true, .grip.best.value = 1};
	balls[1] = (struct profile_ball){.label = "9 \"striped\"",
	                                 .grip = random_estimate(0.001, 100, true)};
	profile.ball_count = 2;
	profile.balls = balls;
	profile.set_aside_count = 2;
	profile.set_aside = rows;
	profile.source_count = 1;
	profile.sources = sources;
	memset(sources[0].sha256, 'e', 64);
	profile.stop_reason = "no progress";
	profile.shots_used = 123456;
	random_correlation(&profile);
	random_numbers(&profile);
	random_model_errors(&profile);
	random_terms(&profile);
	random_rails(&profile);
	random_players(&profile);
	return profile;
}

static void check_bits(double a, double b)
{
	ck_assert_msg(memcmp(&a, &b, sizeof a) == 0, "%.17g is not %.17g", a, b);
}

static void check_interval(const struct interval *a, const struct interval *b)
{
	check_bits(a->value, b->value);
	check_bits(a->standard_error, b->standard_error);
	check_bits(a->low95, b->low95);
	check_bits(a->high95, b->high95);
}

static void check_estimate(const struct estimate *a, const struct estimate *b)
{
	ck_assert_int_eq(a->state, b->state);
	ck_assert_int_eq(a->has_interval, b->has_interval);
	ck_assert_int_eq(a->has_learned, b->has_learned);
	ck_assert_int_eq(a->has_posterior, b->has_posterior);
	check_interval(&a->best, &b->best);
	check_interval(&a->posterior, &b->posterior);
	check_bits(a->learned, b->learned);
}

static void check_table(const struct table *a, const struct table *b)
{
	ck_assert_str_eq(a->preset, b->preset);
	check_bits(a->length, b->length);
	check_bits(a->width, b->width);
	check_bits(a->nose_height, b->nose_height);
	check_bits(a->sight_setback, b->sight_setback);
	check_bits(a->corner_mouth, b->corner_mouth);
	check_bits(a->side_mouth, b->side_mouth);
	ck_assert_int_eq(a->pockets, b->pockets);
	check_bits(a->ball_diameter, b->ball_diameter);
	check_bits(a->ball_mass, b->ball_mass);
	check_bits(a->cue_ball_diameter, b->cue_ball_diameter);
	check_bits(a->cue_ball_mass, b->cue_ball_mass);
}

static void check_lists(const struct profile *a, const struct profile *b)
{
	ck_assert_uint_eq(a->ball_count, b->ball_count);
	for (size_t i = 0; i < a->ball_count; i++) {
		ck_assert_str_eq(a->balls[i].label, b->balls[i].label);
		ck_assert_int_eq(a->balls[i].reference, b->balls[i].reference);
		check_estimate(&a->balls[i].grip, &b->balls[i].grip);
	}
	ck_assert_uint_eq(a->correlation_count, b->correlation_count);
	for (size_t i = 0; i < a->correlation_count; i++)
		ck_assert_str_eq(a->correlation_order[i], b->correlation_order[i]);
	for (size_t i = 0; i < a->correlation_count * a->correlation_count; i++)
		check_bits(a->correlation[i], b->correlation[i]);
	ck_assert_uint_eq(a->set_aside_count, b->set_aside_count);
	for (size_t i = 0; i < a->set_aside_count; i++) {
		ck_assert_str_eq(a->set_aside[i].file, b->set_aside[i].file);
		ck_assert_uint_eq(a->set_aside[i].line, b->set_aside[i].line);
		ck_assert_str_eq(a->set_aside[i].shot, b->set_aside[i].shot);
		ck_assert_str_eq(a->set_aside[i].reason, b->set_aside[i].reason);
	}
	ck_assert_uint_eq(a->source_count, b->source_count);
	for (size_t i = 0; i < a->source_count; i++) {
		ck_assert_str_eq(a->sources[i].file, b->sources[i].file);
		ck_assert_str_eq(a->sources[i].sha256, b->sources[i].sha256);
		ck_assert_str_eq(a->sources[i].protocol, b->sources[i].protocol);
		ck_assert_str_eq(a->sources[i].protocol_sha256, b->sources[i].protocol_sha256);
	}
}

static void check_rails(const struct profile *a, const struct profile *b)
{
	ck_assert_int_eq(a->has_rails, b->has_rails);
	for (int i = 0; i < RAIL_COUNT; i++) {
		check_estimate(&a->rails.rail[i].liveliness, &b->rails.rail[i].liveliness);
		check_estimate(&a->rails.rail[i].grip, &b->rails.rail[i].grip);
	}
}

static void check_players(const struct profile *a, const struct profile *b)
{
	ck_assert_uint_eq(a->player_count, b->player_count);
	for (size_t i = 0; i < a->player_count; i++) {
		const struct profile_player *p = &a->players[i], *q = &b->players[i];
		ck_assert_str_eq(p->name, q->name);
		ck_assert_str_eq(p->file, q->file);
		for (int k = 0; k < PLAYER_SPREADS; k++) {
			ck_assert_int_eq(p->spread[k].told, q->spread[k].told);
			ck_assert_uint_eq(p->spread[k].tries, q->spread[k].tries);
			check_bits(p->spread[k].value, q->spread[k].value);
			check_bits(p->spread[k].low95, q->spread[k].low95);
			check_bits(p->spread[k].high95, q->spread[k].high95);
		}
		for (int k = 0; k < PLAYER_OFFSETS; k++)
			check_interval(&p->offset[k], &q->offset[k]);
	}
}

static void check_model_errors(const struct profile *a, const struct profile *b)
{
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct profile_model_error *one = &a->model_errors[i], *other = &b->model_errors[i];
		ck_assert_int_eq(one->named, other->named);
		if (!one->named)
			continue;
		check_bits(one->standard_error, other->standard_error);
		check_bits(one->low95, other->low95);
		check_bits(one->high95, other->high95);
		ck_assert_str_eq(one->because, other->because);
	}
}

static void check_terms(const struct profile *a, const struct profile *b)
{
	check_rails(a, b);
	check_players(a, b);
	check_model_errors(a, b);
	ck_assert_int_eq(a->has_slope, b->has_slope);
	check_estimate(&a->slope.along, &b->slope.along);
	check_estimate(&a->slope.across, &b->slope.across);
	check_estimate(&a->slope.steepness, &b->slope.steepness);
	ck_assert_int_eq(a->slope.has_direction, b->slope.has_direction);
	check_estimate(&a->slope.direction, &b->slope.direction);
	ck_assert_int_eq(a->has_liveliness_fall, b->has_liveliness_fall);
	check_estimate(&a->liveliness_fall, &b->liveliness_fall);
	ck_assert_int_eq(a->has_nap, b->has_nap);
	check_estimate(&a->nap, &b->nap);
}

static void check_profile(const struct profile *a, const struct profile *b)
{
	ck_assert_str_eq(a->tool_version, b->tool_version);
	ck_assert_str_eq(a->made, b->made);
	ck_assert_uint_eq(a->seed, b->seed);
	for (int i = 0; i < SESSION_NOTES; i++) {
		ck_assert_int_eq(a->notes[i] == NULL, b->notes[i] == NULL);
		if (a->notes[i] != NULL)
			ck_assert_str_eq(a->notes[i], b->notes[i]);
	}
	check_table(&a->table, &b->table);
	for (int i = 0; i < CONSTANT_COUNT; i++)
		check_estimate(&a->constants[i], &b->constants[i]);
	for (int i = 0; i < CONDITION_COUNT; i++)
		check_estimate(&a->conditions[i], &b->conditions[i]);
	check_terms(a, b);
	check_lists(a, b);
	ck_assert_uint_eq(a->shots_used, b->shots_used);
	check_bits(a->chi_square, b->chi_square);
	check_bits(a->degrees_of_freedom, b->degrees_of_freedom);
	ck_assert_int_eq(a->scaled, b->scaled);
	ck_assert_str_eq(a->stop_reason, b->stop_reason);
	ck_assert_int_eq(a->has_lack_of_fit_p, b->has_lack_of_fit_p);
	check_bits(a->lack_of_fit_p, b->lack_of_fit_p);
}

START_TEST(printed_profile_reads_back_bit_for_bit)
{
	stream = random_start(314159, (uint64_t)_i);
	struct profile_ball balls[2];
	struct profile profile = random_profile(balls), again;
	struct text text = {0}, second = {0};
	profile_file_print(&profile, &text);
	ck_assert(!text.failed);
	enum status status = profile_file_parse("p.json", text.bytes, text.length, &again, &faults);
	char *said = support_sentences(&faults, 0);
	ck_assert_str_eq(said, "");
	free(said);
	ck_assert_int_eq(status, STATUS_OK);
	check_profile(&profile, &again);
	profile_file_print(&again, &second);
	ck_assert_str_eq(text.bytes, second.bytes);
	text_free(&text);
	text_free(&second);
	profile_free(&again);
}
END_TEST

START_TEST(assumed_numbers_are_known_again)
{
	struct profile_ball balls[2];
	stream = random_start(271828, 0);
	struct profile profile = random_profile(balls), again;
	const struct table *preset = table_find_preset("snooker-12ft", strlen("snooker-12ft"));
	struct text text = {0};
	profile.table = *preset;
	profile.table.nose_height = 0.0301;
	profile_file_print(&profile, &text);
	ck_assert_int_eq(profile_file_parse("p.json", text.bytes, text.length, &again, &faults),
	                 STATUS_OK);
	ck_assert_uint_eq(again.table.assumed, TABLE_ASSUMED_MOUTHS);
	ck_assert(again.table.napped);
	text_free(&text);
	profile_free(&again);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("profile_round_trip");
	TCase *test_case = tcase_create("profile_round_trip");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_loop_test(test_case, printed_profile_reads_back_bit_for_bit, 0, 200);
	tcase_add_test(test_case, assumed_numbers_are_known_again);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
