/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Protocols as formats.md 4 describes them; what is refused stands in corpus/. The values expected
 * are those written in corpus/good-protocol-all.json and, where it leaves a key out, the defaults of
 * formats.md 4. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files/disk.h"
#include "files/protocol_file.h"
#include "files_support.h"

static struct protocol protocol;
static struct fault_list faults;
static char sha256[65];

static void setup(void)
{
	size_t length;
	char *bytes = support_corpus("good-protocol-all.json", &length);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(protocol_file_parse("all.json", bytes, length, &protocol, &faults),
	                 STATUS_OK);
	disk_sha256(bytes, length, sha256);
	free(bytes);
}

static void teardown(void)
{
	protocol_free(&protocol);
	fault_list_free(&faults);
}

static const struct shot_design *shot(const char *key)
{
	const struct shot_design *found = protocol_find_shot(&protocol, key);
	ck_assert_msg(found != NULL, "no shot %s", key);
	return found;
}

START_TEST(head_is_read)
{
	ck_assert_str_eq(protocol.file, "all.json");
	ck_assert_str_eq(protocol.name, "all-shots");
	ck_assert_str_eq(protocol.title, "Invented: every form a shot can have");
	ck_assert_str_eq(protocol.purpose, "to test the reader with");
	ck_assert(protocol.minutes == 12.5);
	ck_assert_uint_eq(protocol.kit, KIT_TAPE | KIT_WATCH | KIT_SOUND | KIT_RAMP | KIT_VIDEO);
	ck_assert_uint_eq(protocol.shot_count, 5);
	ck_assert_str_eq(protocol.sha256, sha256);
}
END_TEST

START_TEST(places_are_read)
{
	const struct placement *lag = shot("lag")->place, *pair = shot("pair")->place;
	const struct placement *up = shot("ramp-up")->place, *across = shot("ramp-across")->place;
	ck_assert(lag[BALL_CUE].present && !lag[BALL_OBJECT].present && !lag[BALL_OBJECT2].present);
	ck_assert(lag[BALL_CUE].along.diamonds == 1.9 && lag[BALL_CUE].across.diamonds == 2.25);
	ck_assert(!lag[BALL_CUE].along.frozen && !lag[BALL_CUE].touching);
	ck_assert(pair[BALL_OBJECT2].present && pair[BALL_OBJECT2].touching);
	ck_assert_int_eq(pair[BALL_OBJECT2].touched, BALL_OBJECT);
	ck_assert(pair[BALL_OBJECT2].toward_long == 8 && pair[BALL_OBJECT2].toward_short == 3.3);
	ck_assert(up[BALL_CUE].along.frozen && up[BALL_CUE].along.rail == RAIL_HEAD);
	ck_assert(!up[BALL_CUE].across.frozen && up[BALL_CUE].across.diamonds == 2.6);
	ck_assert(across[BALL_CUE].across.frozen && across[BALL_CUE].across.rail == RAIL_LEFT);
}
END_TEST

/* The values of corpus/good-protocol-balls.json; 0 where it says nothing. */
START_TEST(bodies_of_balls_are_read)
{
	struct protocol balls;
	const char *path = support_path("tests/unit/corpus/good-protocol-balls.json");
	ck_assert_int_eq(protocol_file_read(path, &balls, &faults), STATUS_OK);
	const struct placement *place = balls.shots[0].place;
	ck_assert(place[BALL_CUE].diameter == 0.0476 && place[BALL_CUE].mass == 0.094);
	ck_assert(place[BALL_CUE].along.diamonds == 2.1 && place[BALL_CUE].across.diamonds == 1.9);
	ck_assert(place[BALL_OBJECT].diameter == 0 && place[BALL_OBJECT].mass == 0.121);
	ck_assert(place[BALL_OBJECT2].touching && place[BALL_OBJECT2].toward_long == 8);
	ck_assert(place[BALL_OBJECT2].diameter == 0.0523 && place[BALL_OBJECT2].mass == 0.143);
	ck_assert(balls.shots[0].launch.elevation_deg == 61.5);
	protocol_free(&balls);
	ck_assert(shot("lag")->place[BALL_CUE].diameter == 0 &&
	          shot("lag")->place[BALL_CUE].mass == 0);
}
END_TEST

START_TEST(aims_are_read)
{
	const struct aim *nose = &shot("lag")->aim, *ball = &shot("cut")->aim;
	const struct aim *full = &shot("pair")->aim, *sight = &shot("ramp-up")->aim;
	const struct aim *point = &shot("ramp-across")->aim;
	ck_assert(nose->kind == AIM_NOSE && nose->rail == RAIL_FOOT && nose->at == 2.25);
	ck_assert(nose->spread_deg == 0.35);
	ck_assert(ball->kind == AIM_BALL && ball->ball == BALL_OBJECT && ball->fullness == 0.5);
	ck_assert_int_eq(ball->contact, AIM_SIDE_RIGHT);
	ck_assert(ball->spread_deg == AIM_DEFAULT_SPREAD_DEG);
	ck_assert(full->fullness == 1 && full->contact == AIM_SIDE_NONE);
	ck_assert(sight->kind == AIM_SIGHT && sight->rail == RAIL_FOOT && sight->at == 2.6);
	ck_assert(point->kind == AIM_POINT && point->point_long == 6.3 && point->point_short == 4);
}
END_TEST

START_TEST(launches_are_read)
{
	const struct launch *cut = &shot("cut")->launch, *lag = &shot("lag")->launch;
	const struct launch *up = &shot("ramp-up")->launch, *across = &shot("ramp-across")->launch;
	ck_assert(!cut->by_ramp && cut->ramp == NULL);
	ck_assert(cut->speed == 2.31 && cut->speed_spread == 0.11);
	ck_assert(cut->height == 0.3 && cut->height_spread == 0.06);
	ck_assert(cut->side == -0.4 && cut->side_spread == 0.05 && cut->elevation_deg == 4.5);
	ck_assert(lag->elevation_deg == 0);
	ck_assert(up->by_ramp && up->speed == 1.3 && up->speed_spread == 0.015);
	ck_assert_str_eq(up->ramp, "short ramp");
	ck_assert(up->group_spread == 0.25 && up->groove_deg == 96);
	ck_assert(across->speed_spread == RAMP_DEFAULT_SPEED_SPREAD);
}
END_TEST

START_TEST(ramp_defaults_are_those_of_the_contract)
{
	static const char text[] = "{\"format\":\"restpoint-protocol\",\"version\":1,\"name\":"
	                           "\"n\",\"shots\":[{\"shot\":\"r\","
				   "\"tries\":1,\"place\":{\"cue\":{\"long\":1,\"short\":2}},"
	                           "\"aim\":{\"point\":{\"long\":8,"
				   "\"short\":2}},\"launch\":{\"by\":\"ramp\",\"ramp\":\"a\","
	                           "\"speed_m_s\":15},\"measure\":"
				   "[\"cue_rest_long\"]}]}";
	struct protocol bare;
	ck_assert_int_eq(protocol_file_parse("r", text, sizeof text - 1, &bare, &faults),
	                 STATUS_OK);
	const struct launch *launch = &bare.shots[0].launch;
	ck_assert(launch->group_spread == 0.3 && launch->speed_spread == 0.01);
	ck_assert(launch->groove_deg == 180 && launch->speed == 15);
	ck_assert_str_eq(bare.title, "");
	ck_assert_str_eq(bare.purpose, "");
	ck_assert_str_eq(bare.shots[0].how, "");
	ck_assert(bare.minutes == 0 && bare.kit == 0);
	protocol_free(&bare);
}
END_TEST

static uint32_t bit(const char *name)
{
	int number;
	ck_assert(quantity_from_name(name, strlen(name), &number));
	return (uint32_t)1 << number;
}

START_TEST(watch_and_measure_are_read)
{
	const struct shot_design *lag = shot("lag"), *cut = shot("cut");
	ck_assert_int_eq(lag->tries, 3);
	ck_assert_str_eq(lag->title, "Lag");
	ck_assert_str_eq(lag->how, "Up and down the middle.");
	ck_assert_int_eq(lag->watch_count, 2);
	ck_assert_int_eq(lag->watch[0].from.kind, MOMENT_STRIKE);
	ck_assert(lag->watch[0].to.kind == MOMENT_RAIL && lag->watch[0].to.number == 1);
	ck_assert(lag->watch[1].to.kind == MOMENT_REST && lag->watch[1].to.ball == BALL_CUE);
	ck_assert_uint_eq(lag->measure, bit("cue_rest_long") | bit("watch1") | bit("watch2"));
	ck_assert_int_eq(cut->watch_count, 1);
	ck_assert(cut->watch[0].from.kind == MOMENT_CONTACT && cut->watch[0].from.number == 1);
	ck_assert(cut->watch[0].to.kind == MOMENT_STILL && cut->watch[0].to.ball == BALL_OBJECT);
	ck_assert_uint_eq(cut->measure, bit("cue_rail1") | bit("object_rail1") | bit("sound1") |
	                                    bit("sound2") | bit("watch1"));
	ck_assert_int_eq(shot("pair")->watch_count, 0);
}
END_TEST

START_TEST(refused_protocol_leaves_nothing)
{
	struct protocol refused;
	memset(&refused, 0x5A, sizeof refused);
	ck_assert_int_eq(protocol_file_parse("x", "{}", 2, &refused, &faults), STATUS_INPUT);
	ck_assert_ptr_null(refused.arena);
	ck_assert_ptr_null(refused.shots);
	ck_assert_uint_eq(refused.shot_count, 0);
	ck_assert_int_eq(protocol_file_read("/nonexistent/x.json", &refused, &faults),
	                 STATUS_INPUT);
	ck_assert_ptr_null(refused.arena);
}
END_TEST

START_TEST(file_on_disk_is_the_same)
{
	struct protocol read;
	const char *path = support_path("tests/unit/corpus/good-protocol-all.json");
	ck_assert_int_eq(protocol_file_read(path, &read, &faults), STATUS_OK);
	ck_assert_str_eq(read.file, path);
	ck_assert_str_eq(read.sha256, sha256);
	ck_assert_uint_eq(read.shot_count, protocol.shot_count);
	protocol_free(&read);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("protocol_file");
	TCase *test_case = tcase_create("protocol_file");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_test(test_case, head_is_read);
	tcase_add_test(test_case, places_are_read);
	tcase_add_test(test_case, bodies_of_balls_are_read);
	tcase_add_test(test_case, aims_are_read);
	tcase_add_test(test_case, launches_are_read);
	tcase_add_test(test_case, ramp_defaults_are_those_of_the_contract);
	tcase_add_test(test_case, watch_and_measure_are_read);
	tcase_add_test(test_case, refused_protocol_leaves_nothing);
	tcase_add_test(test_case, file_on_disk_is_the_same);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
