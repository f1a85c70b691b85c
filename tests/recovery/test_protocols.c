/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <dirent.h>
#include <string.h>

#include "../unit/session_support.h"
#include "design.h"

/* Every shipped protocol, before anybody plays it: its shots do what they were designed to do on
 * 95 % of tables and with 95 % of strokes, and it tells what it is there to tell. */

#define DRAWS 1000
#define SEED 20240517
#define STABLE 0.95
#define STROKES_MOST 25
#define PROTOCOLS_MOST 64

/* What a protocol promises of the sliding friction and the rolling resistance, relative. */
static const struct promise {
	const char *name;
	double sliding, rolling;
} promises[] = {{"phone", 0.08, 0.04}, {"full", 0.18, 0.05}};

/* Names of the protocols, without ".json"; returns how many. */
static size_t list_protocols(char names[PROTOCOLS_MOST][64])
{
	DIR *folder = opendir(session_support_path("protocols"));
	const struct dirent *entry;
	size_t count = 0;

	ck_assert_ptr_nonnull(folder);
	while ((entry = readdir(folder)) != NULL && count < PROTOCOLS_MOST) {
		size_t length = strlen(entry->d_name);

		if (length < 6 || length > 60 || strcmp(entry->d_name + length - 5, ".json") != 0)
			continue;
		memcpy(names[count], entry->d_name, length - 5);
		names[count++][length - 5] = '\0';
	}
	closedir(folder);
	return count;
}

static int check_shot(const char *protocol, const struct shot_design *shot)
{
	struct session session = session_default();
	struct design_shot result;

	design_shot_check(shot, &session, DRAWS, SEED, &result);
	if (!result.playable) {
		fprintf(stderr, "%s, %s: %s %s\n", protocol, shot->key,
		        result.quantity != NULL ? result.quantity : "the shot", result.why);
		return 1;
	}
	if (result.kept >= STABLE && (!result.rests || result.clear >= STABLE))
		return 0;
	fprintf(stderr, "%s, %s: keeps its order in %.1f %%, undisturbed to rest in %.1f %%\n",
	        protocol, shot->key, 100.0 * result.kept, 100.0 * result.clear);
	return 1;
}

static int check_promise(const struct protocol *protocol, const struct promise *promise)
{
	struct session session = session_default();
	double errors[CONSTANT_COUNT];
	const char *why = "";

	if (!design_expected_errors(protocol, &session, errors, &why)) {
		fprintf(stderr, "%s: %s\n", promise->name, why);
		return 1;
	}
	printf("%s: expected errors: sliding friction %.1f %%, rolling resistance %.1f %%\n",
	       promise->name, 100.0 * errors[SLIDING_FRICTION], 100.0 * errors[ROLLING_RESISTANCE]);
	return close_false(promise->name, 1, "sliding friction as promised",
	                   errors[SLIDING_FRICTION] <= promise->sliding) +
	       close_false(promise->name, 2, "rolling resistance as promised",
	                   errors[ROLLING_RESISTANCE] <= promise->rolling);
}

START_TEST(shots_keep_their_order)
{
	static char names[PROTOCOLS_MOST][64];
	size_t count = list_protocols(names);
	int misses = 0;

	for (size_t i = 0; i < count; i++) {
		char path[96];
		struct protocol protocol;

		snprintf(path, sizeof path, "protocols/%.60s.json", names[i]);
		session_support_protocol(session_support_path(path), &protocol);
		for (size_t k = 0; k < protocol.shot_count; k++)
			misses += check_shot(names[i], &protocol.shots[k]);
		misses +=
		    close_false(names[i], (int)design_strokes(&protocol), "not too many strokes",
		                design_strokes(&protocol) <= STROKES_MOST) +
		    close_false(names[i], 0, "named as its file",
		                strcmp(protocol.name, names[i]) == 0);
		protocol_free(&protocol);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_uint_ge(count, 3);
}
END_TEST

START_TEST(protocols_tell_what_they_promise)
{
	int misses = 0;

	for (size_t i = 0; i < sizeof promises / sizeof promises[0]; i++) {
		char path[96];
		struct protocol protocol;

		snprintf(path, sizeof path, "protocols/%.60s.json", promises[i].name);
		session_support_protocol(session_support_path(path), &protocol);
		misses += check_promise(&protocol, &promises[i]);
		protocol_free(&protocol);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The instrument itself: a shot that ends at a pocket's edge is seen to be unstable, and one whose
 * reading cannot happen is said to be unplayable. */
START_TEST(bad_designs_are_seen)
{
	static const char json[] =
	    "{ \"format\": \"restpoint-protocol\", \"version\": 1, \"name\": \"bad\","
	    " \"title\": \"bad\", \"purpose\": \"to be seen\", \"minutes\": 1, \"kit\": [\"tape\"],"
	    " \"shots\": ["
	    "  { \"shot\": \"edge\", \"title\": \"edge\", \"tries\": 1,"
	    "    \"place\": { \"cue\": { \"long\": 2, \"short\": 0.3 } },"
	    "    \"aim\": { \"nose\": { \"rail\": \"foot\", \"at\": 0.3 }, \"spread_deg\": 0.3 },"
	    "    \"launch\": { \"by\": \"cue\", \"speed_m_s\": 2.2, \"speed_spread\": 0.1,"
	    "      \"height\": 0.4, \"height_spread\": 0.05, \"side\": 0, \"side_spread\": 0.05 },"
	    "    \"measure\": [\"cue_rail1\", \"cue_rest_long\"], \"how\": \"As placed.\" },"
	    "  { \"shot\": \"short\", \"title\": \"short\", \"tries\": 1,"
	    "    \"place\": { \"cue\": { \"long\": 2, \"short\": 2 } },"
	    "    \"aim\": { \"nose\": { \"rail\": \"foot\", \"at\": 2 }, \"spread_deg\": 0.3 },"
	    "    \"launch\": { \"by\": \"cue\", \"speed_m_s\": 0.3, \"speed_spread\": 0.1,"
	    "      \"height\": 0.4, \"height_spread\": 0.05, \"side\": 0, \"side_spread\": 0.05 },"
	    "    \"measure\": [\"cue_rail1\"], \"how\": \"As placed.\" } ] }";
	struct session session = session_default();
	struct design_shot edge, too_short;
	struct protocol protocol;

	session_support_parse(json, &protocol);
	design_shot_check(&protocol.shots[0], &session, DRAWS, SEED, &edge);
	design_shot_check(&protocol.shots[1], &session, DRAWS, SEED, &too_short);
	ck_assert(edge.playable);
	ck_assert_double_lt(edge.kept, 0.9);
	ck_assert_double_gt(edge.kept, 0.3);
	ck_assert(edge.rests);
	ck_assert_double_lt(edge.clear, 0.9);
	ck_assert(!too_short.playable);
	ck_assert_str_eq(too_short.quantity, "cue_rail1");
	protocol_free(&protocol);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("protocols");
	TCase *protocols = tcase_create("protocols");

	tcase_add_test(protocols, shots_keep_their_order);
	tcase_add_test(protocols, protocols_tell_what_they_promise);
	tcase_add_test(protocols, bad_designs_are_seen);
	suite_add_tcase(suite, protocols);
	return close_run(suite);
}
