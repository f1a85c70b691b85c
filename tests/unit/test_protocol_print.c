/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <dirent.h>
#include <string.h>

#include "files/protocol_file.h"
#include "session_support.h"

/* What is written of a protocol reads back to the same, member by member, and what is written of
 * that is the same text. */

static void same_place(const struct placement *a, const struct placement *b)
{
	ck_assert_int_eq(a->present, b->present);
	if (!a->present)
		return;
	ck_assert_int_eq(a->touching, b->touching);
	ck_assert_int_eq(a->along.frozen, b->along.frozen);
	ck_assert_int_eq(a->across.frozen, b->across.frozen);
	ck_assert_int_eq(a->along.rail, b->along.rail);
	ck_assert_int_eq(a->across.rail, b->across.rail);
	ck_assert_double_eq(a->along.diamonds, b->along.diamonds);
	ck_assert_double_eq(a->across.diamonds, b->across.diamonds);
	ck_assert_int_eq(a->touched, b->touched);
	ck_assert_double_eq(a->toward_long, b->toward_long);
	ck_assert_double_eq(a->toward_short, b->toward_short);
	ck_assert_double_eq(a->diameter, b->diameter);
	ck_assert_double_eq(a->mass, b->mass);
}

static void same_aim(const struct aim *a, const struct aim *b)
{
	ck_assert_int_eq(a->kind, b->kind);
	ck_assert_int_eq(a->rail, b->rail);
	ck_assert_double_eq(a->at, b->at);
	ck_assert_double_eq(a->point_long, b->point_long);
	ck_assert_double_eq(a->point_short, b->point_short);
	ck_assert_int_eq(a->ball, b->ball);
	ck_assert_double_eq(a->fullness, b->fullness);
	ck_assert_int_eq(a->contact, b->contact);
	ck_assert_double_eq(a->spread_deg, b->spread_deg);
}

static void same_launch(const struct launch *a, const struct launch *b)
{
	ck_assert_int_eq(a->by_ramp, b->by_ramp);
	ck_assert_double_eq(a->speed, b->speed);
	ck_assert_double_eq(a->speed_spread, b->speed_spread);
	ck_assert_double_eq(a->height, b->height);
	ck_assert_double_eq(a->height_spread, b->height_spread);
	ck_assert_double_eq(a->side, b->side);
	ck_assert_double_eq(a->side_spread, b->side_spread);
	ck_assert_double_eq(a->elevation_deg, b->elevation_deg);
	ck_assert_double_eq(a->group_spread, b->group_spread);
	ck_assert_double_eq(a->groove_deg, b->groove_deg);
	ck_assert_pstr_eq(a->ramp, b->ramp);
}

static void same_shot(const struct shot_design *a, const struct shot_design *b)
{
	ck_assert_str_eq(a->key, b->key);
	ck_assert_str_eq(a->title, b->title);
	ck_assert_str_eq(a->how, b->how);
	ck_assert_int_eq(a->tries, b->tries);
	for (int ball = 0; ball < BALL_ROLES; ball++)
		same_place(&a->place[ball], &b->place[ball]);
	same_aim(&a->aim, &b->aim);
	same_launch(&a->launch, &b->launch);
	ck_assert_int_eq(a->watch_count, b->watch_count);
	ck_assert_mem_eq(a->watch, b->watch, sizeof a->watch);
	ck_assert_uint_eq(a->measure, b->measure);
}

static void round_trip(const struct protocol *protocol)
{
	struct text text = {0}, again = {0};
	struct protocol back;

	protocol_file_print(protocol, &text);
	ck_assert(!text.failed);
	session_support_parse(text_bytes(&text), &back);
	ck_assert_str_eq(back.name, protocol->name);
	ck_assert_str_eq(back.title, protocol->title);
	ck_assert_str_eq(back.purpose, protocol->purpose);
	ck_assert_double_eq(back.minutes, protocol->minutes);
	ck_assert_uint_eq(back.kit, protocol->kit);
	ck_assert_uint_eq(back.shot_count, protocol->shot_count);
	for (size_t i = 0; i < back.shot_count; i++)
		same_shot(&protocol->shots[i], &back.shots[i]);
	protocol_file_print(&back, &again);
	ck_assert_str_eq(text_bytes(&again), text_bytes(&text));
	text_free(&text);
	text_free(&again);
	protocol_free(&back);
}

START_TEST(shipped_protocols)
{
	DIR *folder = opendir(session_support_path("protocols"));
	const struct dirent *entry;
	int count = 0;

	ck_assert_ptr_nonnull(folder);
	while ((entry = readdir(folder)) != NULL) {
		size_t length = strlen(entry->d_name);
		struct protocol protocol;
		char path[96];

		if (length < 6 || length > 60 || strcmp(entry->d_name + length - 5, ".json") != 0)
			continue;
		snprintf(path, sizeof path, "protocols/%.60s", entry->d_name);
		session_support_protocol(session_support_path(path), &protocol);
		round_trip(&protocol);
		protocol_free(&protocol);
		count++;
	}
	closedir(folder);
	ck_assert_int_ge(count, 3);
}
END_TEST

/* All that formats.md 4 allows, with numbers that need all their digits. */
START_TEST(every_member)
{
	static const char json[] =
	    "{ \"format\": \"restpoint-protocol\", \"version\": 1, \"name\": \"e\\u00e9 "
	    "\\\"q\\\"\","
	    " \"title\": \"a\\\\b\", \"purpose\": \"one\\ntwo\", \"minutes\": 0.30000000000000004,"
	    " \"kit\": [\"ramp\", \"video\", \"tape\"], \"shots\": ["
	    "  { \"shot\": \"frozen\", \"tries\": 7,"
	    "    \"place\": { \"cue\": { \"long\": \"f head\", \"short\": 1.1000000000000001 },"
	    "      \"object\": { \"long\": 3.3, \"short\": \"f right\", \"diameter_m\": 0.0612,"
	    "        \"mass_kg\": 0.1999 },"
	    "      \"object2\": { \"touching\": \"object\", \"toward\": { \"long\": 7.7,"
	    "        \"short\": 0.1 } } },"
	    "    \"aim\": { \"ball\": { \"ball\": \"object\", \"fullness\": 0.37,"
	    "      \"contact\": \"left\" }, \"spread_deg\": 0.123456789012345678 },"
	    "    \"launch\": { \"by\": \"cue\", \"speed_m_s\": 2.7182818284590452,"
	    "      \"speed_spread\": 0.1, \"height\": -0.21, \"height_spread\": 0.05,"
	    "      \"side\": 0.11, \"side_spread\": 0.04, \"elevation_deg\": 3.5 },"
	    "    \"watch\": [ { \"from\": \"contact1\", \"to\": \"object2_rail3\" },"
	    "      { \"from\": \"strike\", \"to\": \"object_still\" } ],"
	    "    \"measure\": [\"sound8\", \"watch2\", \"object2_rest_short\", \"cue_rail4\"] },"
	    "  { \"shot\": \"ramp\", \"title\": \"r\", \"how\": \"h\", \"tries\": 1,"
	    "    \"place\": { \"cue\": { \"long\": 1, \"short\": 2 } },"
	    "    \"aim\": { \"sight\": { \"rail\": \"left\", \"at\": 6.25 } },"
	    "    \"launch\": { \"by\": \"ramp\", \"ramp\": \"oak\", \"speed_m_s\": 0.9,"
	    "      \"groove_deg\": 91.5, \"group_spread\": 0.07, \"speed_spread\": 0.02 },"
	    "    \"measure\": [\"cue_rest_long\", \"sound2\"] },"
	    "  { \"shot\": \"point\", \"tries\": 1, \"place\": { \"cue\": { \"long\": 1, "
	    "\"short\": 2 } },"
	    "    \"aim\": { \"point\": { \"long\": 6.1, \"short\": 0.7 } },"
	    "    \"launch\": { \"by\": \"cue\", \"speed_m_s\": 1, \"speed_spread\": 0.1,"
	    "      \"height\": 0, \"height_spread\": 0.05, \"side\": 0, \"side_spread\": 0.04 },"
	    "    \"measure\": [\"cue_rail2\"] } ] }";
	struct protocol protocol;

	session_support_parse(json, &protocol);
	round_trip(&protocol);
	protocol_free(&protocol);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("protocols written");
	TCase *print = tcase_create("print");

	tcase_add_test(print, shipped_protocols);
	tcase_add_test(print, every_member);
	suite_add_tcase(suite, print);
	return close_run(suite);
}
