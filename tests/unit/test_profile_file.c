/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Profiles as formats.md 5 describes them; what is refused stands in corpus/. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files/profile_file.h"
#include "files_support.h"
#include "model/constant_terms.h"

static struct fault_list faults;

static void setup(void)
{
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	fault_list_free(&faults);
}

static void read_corpus(const char *name, struct profile *profile)
{
	size_t length;
	char *bytes = support_corpus(name, &length);
	enum status status = profile_file_parse(name, bytes, length, profile, &faults);
	free(bytes);
	ck_assert_int_eq(status, STATUS_OK);
}

/* The values expected are those written in corpus/good-profile.json. */
START_TEST(every_part_is_read)
{
	struct profile profile;
	read_corpus("good-profile.json", &profile);
	ck_assert_str_eq(profile.tool_version, "0.1.0");
	ck_assert_str_eq(profile.made, "2026-03-14T21:30:05+01:00");
	ck_assert_uint_eq(profile.seed, UINT64_MAX);
	ck_assert_str_eq(profile.notes[NOTE_TABLE_NAME], "Table 3, invented");
	ck_assert_str_eq(profile.notes[NOTE_TEMPERATURE_C], "21.5");
	ck_assert_ptr_null(profile.notes[NOTE_CLOTH]);
	ck_assert_str_eq(profile.table.preset, "pool-9ft");
	ck_assert(profile.table.nose_height == 0.0363 && profile.table.corner_mouth == 0.0808);
	ck_assert(profile.table.cue_ball_mass == 0.163 && profile.table.pockets);
	ck_assert_uint_eq(profile.shots_used, 15);
	ck_assert_str_eq(profile.set_aside[0].reason, "a kiss");
	ck_assert_uint_eq(profile.set_aside[0].line, 7);
	ck_assert(profile.chi_square == 41.2 && profile.degrees_of_freedom == 47.6);
	ck_assert(!profile.scaled && profile.has_lack_of_fit_p && profile.lack_of_fit_p == 0.4);
	ck_assert_str_eq(profile.stop_reason, "converged");
	ck_assert_uint_eq(profile.source_count, 1);
	ck_assert_str_eq(profile.sources[0].protocol, "all-shots");
	ck_assert_uint_eq(strlen(profile.sources[0].sha256), 64);
	profile_free(&profile);
}
END_TEST

START_TEST(estimates_are_read)
{
	struct profile profile;
	read_corpus("good-profile.json", &profile);
	const struct estimate *slide = &profile.constants[SLIDING_FRICTION];
	const struct estimate *spin = &profile.constants[SPIN_FRICTION];
	const struct estimate *held = &profile.constants[BALL_FRICTION];
	ck_assert(slide->best.value == 0.2031 && slide->has_interval && slide->has_learned);
	ck_assert(slide->state == KNOWLEDGE_DETERMINED && slide->learned == 0.9);
	ck_assert(!slide->has_posterior);
	ck_assert_int_eq(spin->state, KNOWLEDGE_NOT_DETERMINED);
	ck_assert(spin->has_posterior && spin->posterior.high95 == 0.0281);
	ck_assert(spin->best.value == 0.01 && spin->best.low95 == 0.0026);
	ck_assert(held->state == KNOWLEDGE_HELD && !held->has_interval && !held->has_learned);
	ck_assert_uint_eq(profile.ball_count, 2);
	ck_assert(profile.balls[0].reference && profile.balls[0].grip.state == KNOWLEDGE_HELD);
	ck_assert(profile.balls[0].grip.best.value == 1 && !profile.balls[0].grip.has_interval);
	ck_assert_str_eq(profile.balls[1].label, "B");
	ck_assert_uint_eq(profile.correlation_count, 3);
	ck_assert_str_eq(profile.correlation_order[2], "grip:B");
	ck_assert(profile.correlation[1] == -0.31 && profile.correlation[7] == 0.05);
	ck_assert(profile.conditions[HALF_BALL_THROW_DEG].best.value == 3.4);
	ck_assert(!profile.conditions[HALF_BALL_THROW_DEG].has_learned);
	struct constants constants = profile_constants(&profile);
	ck_assert(constants.value[SPIN_FRICTION] == 0.01);
	profile_free(&profile);
}
END_TEST

/* The values of corpus/good-profile-extras.json. */
START_TEST(slope_and_liveliness_are_read)
{
	struct profile profile;
	read_corpus("good-profile-extras.json", &profile);
	const struct profile_slope *slope = &profile.slope;
	ck_assert(profile.has_slope && slope->has_direction && profile.has_liveliness_fall);
	ck_assert(slope->along.best.value == 0.00137 && slope->along.best.low95 == 0.00096);
	ck_assert(slope->along.state == KNOWLEDGE_DETERMINED && slope->along.learned == 0.83);
	ck_assert(slope->across.best.value == -0.00059 && slope->across.state == KNOWLEDGE_WEAK);
	ck_assert(slope->steepness.best.value == 1.49 && slope->steepness.best.high95 == 1.88);
	ck_assert(slope->direction.best.value == 336.7 && slope->direction.has_interval);
	ck_assert(profile.liveliness_fall.best.value == 0.0187);
	ck_assert(profile.liveliness_fall.state == KNOWLEDGE_HELD);
	/* Rails that the file names without a number are held at 1. */
	ck_assert(profile.has_rails);
	ck_assert(profile.rails.rail[RAIL_LEFT].liveliness.best.value == 1);
	ck_assert(profile.rails.rail[RAIL_LEFT].grip.state == KNOWLEDGE_HELD);
	ck_assert(profile.has_nap && profile.nap.state == KNOWLEDGE_WEAK);
	struct constants constants = profile_constants(&profile);
	ck_assert(constants.terms.nap_long == 0.0023);
	ck_assert(constants.terms.slope_long == 0.00137 && constants.terms.slope_short == -0.00059);
	ck_assert(constants.terms.liveliness_fall == 0.0187);
	ck_assert(constants.terms.ball_friction_fall == 0 && constants.terms.bed_restitution == 0);
	profile_free(&profile);
	read_corpus("good-profile.json", &profile);
	ck_assert(!profile.has_slope && !profile.has_liveliness_fall && !profile.has_rails);
	ck_assert(!profile.has_nap);
	profile_free(&profile);
}
END_TEST

/* The values of corpus/good-profile-extras.json. */
START_TEST(players_are_read)
{
	struct profile profile;
	read_corpus("good-profile-extras.json", &profile);
	const struct profile_player *first = &profile.players[0], *second = &profile.players[1];
	ck_assert_uint_eq(profile.player_count, 2);
	ck_assert_str_eq(first->name, "AB");
	ck_assert_str_eq(first->file, "club.csv");
	ck_assert(first->spread[PLAYER_SPEED_SPREAD].told);
	ck_assert(first->spread[PLAYER_SPEED_SPREAD].value == 0.067);
	ck_assert(first->spread[PLAYER_SPEED_SPREAD].high95 == 0.118);
	ck_assert_uint_eq(first->spread[PLAYER_AIM_SPREAD].tries, 6);
	ck_assert(!first->spread[PLAYER_SIDE_SPREAD].told);
	ck_assert(first->offset[PLAYER_SPEED_FACTOR].value == 0.83);
	ck_assert(first->offset[PLAYER_HEIGHT_OFFSET].low95 == -0.039);
	ck_assert_str_eq(second->name, "");
	ck_assert(second->offset[PLAYER_SIDE_OFFSET].standard_error == 0.03);
	profile_free(&profile);
	read_corpus("good-profile.json", &profile);
	ck_assert_uint_eq(profile.player_count, 0);
	profile_free(&profile);
}
END_TEST

START_TEST(parts_of_later_versions_are_passed_over)
{
	struct profile profile;
	read_corpus("good-profile-extras.json", &profile);
	ck_assert(profile.table.corner_mouth == 0.07 && profile.table.side_mouth == 0.06);
	ck_assert(profile.table.cue_ball_diameter == 0.0571 && profile.table.cue_ball_mass == 0.17);
	ck_assert(profile.table.ball_diameter == 0.05715 && profile.table.ball_mass == 0.163);
	ck_assert(!profile.has_lack_of_fit_p);
	ck_assert_uint_eq(profile.correlation_count, 0);
	profile_free(&profile);
}
END_TEST

/* --- Constants for a simulation ------------------------------------------------------------ */

/* The values expected are those written in corpus/good-constants.json and good-profile.json. */
START_TEST(constants_come_from_numbers_or_a_profile)
{
	struct constants constants = {.terms = {0.0}};
	const char *path = support_path("tests/unit/corpus/good-constants.json");
	ck_assert_int_eq(constants_file_read(path, &constants, &faults), STATUS_OK);
	ck_assert(constants.value[SLIDING_FRICTION] == 0.2031);
	ck_assert(constants.value[BALL_FRICTION] == 0.0603);
	path = support_path("tests/unit/corpus/good-profile.json");
	ck_assert_int_eq(constants_file_read(path, &constants, &faults), STATUS_OK);
	ck_assert(constants.value[CUSHION_RESTITUTION] == 0.943);
	ck_assert(constants.value[SPIN_FRICTION] == 0.01);
	ck_assert_int_eq(constants_file_read("/nonexistent", &constants, &faults), STATUS_INPUT);
	ck_assert(constants.value[SPIN_FRICTION] == 0);
}
END_TEST

/* The values of corpus/good-constants-terms.json. */
START_TEST(terms_stand_beside_the_constants)
{
	struct constants constants;
	memset(&constants, 0x5A, sizeof constants);
	const char *path = support_path("tests/unit/corpus/good-constants-terms.json");
	ck_assert_int_eq(constants_file_read(path, &constants, &faults), STATUS_OK);
	ck_assert(constants.value[BALL_FRICTION] == 0.0603);
	ck_assert(constants.terms.slope_long == -0.0057 && constants.terms.slope_short == 0.0131);
	ck_assert(constants.terms.liveliness_fall == 0.0231);
	ck_assert(constants.terms.ball_friction_fall == 0.413);
	ck_assert(constants.terms.bed_restitution == 0.517);
	path = support_path("tests/unit/corpus/good-constants.json");
	memset(&constants, 0x5A, sizeof constants);
	ck_assert_int_eq(constants_file_read(path, &constants, &faults), STATUS_OK);
	for (int i = 0; i < CONSTANT_TERMS; i++)
		ck_assert(constant_term_value(&constants.terms, (enum constant_term)i) == 0);
	path = support_path("tests/unit/corpus/good-profile-extras.json");
	ck_assert_int_eq(constants_file_read(path, &constants, &faults), STATUS_OK);
	ck_assert(constants.terms.slope_long == 0.00137);
	path = support_path("tests/unit/corpus/bad-constants-steep.json");
	ck_assert_int_eq(constants_file_read(path, &constants, &faults), STATUS_INPUT);
	ck_assert(constants.terms.slope_long == 0 && constants.value[BALL_FRICTION] == 0);
}
END_TEST

START_TEST(refused_profile_leaves_nothing)
{
	struct profile profile;
	memset(&profile, 0x5A, sizeof profile);
	ck_assert_int_eq(profile_file_parse("x", "[]", 2, &profile, &faults), STATUS_INPUT);
	ck_assert_ptr_null(profile.arena);
	ck_assert_uint_eq(profile.ball_count, 0);
	ck_assert_int_eq(profile_file_read("/nonexistent", &profile, &faults), STATUS_INPUT);
	ck_assert_ptr_null(profile.arena);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("profile_file");
	TCase *test_case = tcase_create("profile_file");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_test(test_case, every_part_is_read);
	tcase_add_test(test_case, estimates_are_read);
	tcase_add_test(test_case, slope_and_liveliness_are_read);
	tcase_add_test(test_case, parts_of_later_versions_are_passed_over);
	tcase_add_test(test_case, players_are_read);
	tcase_add_test(test_case, constants_come_from_numbers_or_a_profile);
	tcase_add_test(test_case, terms_stand_beside_the_constants);
	tcase_add_test(test_case, refused_profile_leaves_nothing);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
