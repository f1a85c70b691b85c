/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "shot/observe.h"
#include "shot_support.h"

/* Sounds of a shot (formats.md 3): audible from an approach of 0.15 m/s, contacts less than 0.020 s
 * apart are one at the first, the strike sounds and a ramp does not, the way to the phone at 343
 * m/s. And the order of what is read, which designs of protocols compare. */

#define DIAMOND 0.3175

struct heard {
	int count;
	double times[SOUND_READINGS];
};

static struct shot_record record_of(const struct shot_event *events, size_t count)
{
	struct shot_record record = {
	    .ending = SHOT_COMPLETE, .ball_count = 2, .event_count = count};

	memcpy(record.events, events, count * sizeof *events);
	record.ends[0].rest_time = 8.25;
	record.ends[1].rest_time = 9.75;
	return record;
}

static struct heard listen(const struct shot_record *record, bool by_ramp,
                           const struct microphone *microphone, struct vector3 start)
{
	const struct table *table = table_find_preset("pool-9ft", strlen("pool-9ft"));
	struct shot_design design = {.key = "heard", .launch.by_ramp = by_ramp};
	struct observed seen[QUANTITY_COUNT];
	struct heard heard = {.count = 0};
	int first;

	ck_assert(quantity_from_name("sound1", 6, &first));
	observe(record, &design, table, microphone, start,
	        ((UINT32_C(1) << SOUND_READINGS) - 1) << first, seen);
	for (int i = 0; i < SOUND_READINGS; i++) {
		heard.times[i] = seen[first + i].value;
		if (seen[first + i].happened)
			heard.count = i + 1;
		else
			ck_assert_double_eq(seen[first + i].value, 9.75);
	}
	return heard;
}

static void expect(const char *what, const struct heard *heard, int count, const double *times)
{
	int misses = close_miss(what, 0, "count", count, heard->count, 0.0);

	for (int i = 0; i < count; i++)
		misses += close_miss(what, i, "time", times[i], heard->times[i], 1e-12);
	ck_assert_int_eq(misses, 0);
}

START_TEST(quiet_contacts_are_not_heard)
{
	const struct shot_event events[] = {
	    {.kind = EVENT_BALLS, .time = 0.31, .other = 1, .approach = 0.15},
	    {.kind = EVENT_RAIL, .time = 0.55, .ball = 1, .approach = 0.1499},
	    {.kind = EVENT_RAIL, .time = 0.83, .ball = 0, .approach = 2.7},
	    {.kind = EVENT_POCKET, .time = 1.17, .ball = 0, .approach = 1.9},
	    {.kind = EVENT_BALLS, .time = 1.49, .other = 1, .approach = 0.0},
	    {.kind = EVENT_RAIL, .time = 1.83, .ball = 1, .approach = 0.151}};
	static const double times[] = {0.31, 0.83, 1.83};
	struct shot_record record = record_of(events, 6);
	struct heard heard = listen(&record, false, NULL, vector3_make(0.4, 0.3, 0.0));

	expect("quiet", &heard, 3, times);
}
END_TEST

/* A contact that does not count as a rail contact is heard all the same. */
START_TEST(close_sounds_are_one_at_the_first)
{
	const struct shot_event events[] = {
	    {.kind = EVENT_BALLS, .time = 0.0193, .other = 1, .approach = 1.7},
	    {.kind = EVENT_RAIL, .time = 0.1000, .ball = 1, .approach = 0.7, .number = 1},
	    {.kind = EVENT_RAIL, .time = 0.1199, .ball = 0, .approach = 3.7, .number = 1},
	    {.kind = EVENT_RAIL, .time = 0.3000, .ball = 0, .approach = 0.01},
	    {.kind = EVENT_RAIL, .time = 0.3100, .ball = 0, .approach = 0.20, .number = 0},
	    {.kind = EVENT_RAIL, .time = 0.3301, .ball = 1, .approach = 0.20}};
	/* Cue: the strike swallows the first, 0.0193 s after it; the quiet one swallows nothing. */
	static const double cue[] = {0.1000, 0.3100, 0.3301};
	/* Ramp: its own first sound, at 0.0193 s, is where the clock starts. */
	static const double ramp[] = {0.0, 0.0807, 0.2907, 0.3108};
	struct shot_record record = record_of(events, 6);
	struct heard heard = listen(&record, false, NULL, vector3_make(0.4, 0.3, 0.0));

	expect("cue", &heard, 3, cue);
	heard = listen(&record, true, NULL, vector3_make(0.4, 0.3, 0.0));
	expect("ramp", &heard, 4, ramp);
}
END_TEST

/* The phone lies at long 2.5, short -0.75 diamonds: distance / 343 m/s from the strike and from
 * each contact, by Pythagoras. */
START_TEST(sound_takes_its_way_to_the_phone)
{
	const struct shot_event events[] = {
	    {.kind = EVENT_RAIL, .time = 0.71, .approach = 1.1, .position = {1.0, 2.2, 0.03}},
	    {.kind = EVENT_RAIL, .time = 1.93, .approach = 0.9, .position = {0.2, 0.6, 0.03}}};
	const struct microphone phone = {true, 2.5, -0.75}, unknown = {false, 2.5, -0.75};
	struct vector3 start = vector3_make(0.5, 0.4, 0.03);
	double x = -0.75 * DIAMOND, y = 2.5 * DIAMOND;
	double strike = hypot(0.5 - x, 0.4 - y) / 343.0;
	double first = 0.71 + hypot(1.0 - x, 2.2 - y) / 343.0;
	double second = 1.93 + hypot(0.2 - x, 0.6 - y) / 343.0;
	const double cue[] = {first - strike, second - strike}, ramp[] = {0.0, second - first};
	const double bare[] = {0.71, 1.93};
	struct shot_record record = record_of(events, 2);
	struct heard heard = listen(&record, false, &phone, start);

	expect("phone", &heard, 2, cue);
	heard = listen(&record, true, &phone, start);
	expect("phone and ramp", &heard, 2, ramp);
	heard = listen(&record, false, &unknown, start);
	expect("no phone known", &heard, 2, bare);
}
END_TEST

/* More than a file holds. */
START_TEST(eight_sounds_at_most)
{
	struct shot_event events[12];
	double times[SOUND_READINGS];
	struct shot_record record;
	struct heard heard;

	memset(events, 0, sizeof events);
	for (int i = 0; i < 12; i++)
		events[i] = (struct shot_event){
		    .kind = EVENT_RAIL, .time = 0.1 + 0.37 * i, .approach = 1.0};
	for (int i = 0; i < SOUND_READINGS; i++)
		times[i] = events[i].time;
	record = record_of(events, 12);
	heard = listen(&record, false, NULL, vector3_make(0.4, 0.3, 0.0));
	expect("many", &heard, SOUND_READINGS, times);
}
END_TEST

/* A play that ends with the sounds needed knows as many as the whole play: both count alike. */
START_TEST(play_and_observation_count_sounds_alike)
{
	struct random_stream stream = random_start(15013, 1);
	int misses = 0, cases = 0;

	for (int i = 0; i < 600; i++) {
		struct shot_support shot;
		struct shot_record full, part;
		struct shot_need need = {.struck = i % 2 == 0, .sounds = 1 + i % 4};
		struct heard all, some;

		shot_support_start(&shot, 2);
		shot_support_draw_shot(&stream, &shot);
		if (i % 3 == 0) /* close enough for the strike to swallow the contact */
			shot.states[1].position =
			    vector3_make(shot.states[0].position.x,
			                 shot.states[0].position.y + 0.0572 +
			                     (shot.states[0].position.y > 2.0 ? -0.115 : 0.0),
			                 0.028575);
		shot_support_play(&shot, NULL, &full);
		shot_support_play(&shot, &need, &part);
		if (full.ending != SHOT_COMPLETE)
			continue;
		full.ends[1].rest_time = part.ends[1].rest_time = 9.75; /* as listen expects */
		full.ends[0].rest_time = part.ends[0].rest_time = 0.0;
		all = listen(&full, i % 2 != 0, NULL, shot.states[0].position);
		some = listen(&part, i % 2 != 0, NULL, shot.states[0].position);
		cases += part.ending == SHOT_ENOUGH;
		misses +=
		    close_miss("sounds", i, "count", fmin(need.sounds, all.count), some.count, 0.0);
		for (int k = 0; k < some.count; k++)
			misses += close_miss("sounds", i, "time", all.times[k], some.times[k], 0.0);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(cases, 200);
}
END_TEST

/* Equal while what is needed comes in the same order, whatever else there is. */
START_TEST(order_tells_what_is_needed)
{
	struct shot_event events[] = {{.kind = EVENT_BALLS,
	                               .time = 0.31,
	                               .ball = 0,
	                               .other = 1,
	                               .approach = 1.3,
	                               .number = 1},
	                              {.kind = EVENT_RAIL,
	                               .time = 0.55,
	                               .ball = 1,
	                               .rail = RAIL_FOOT,
	                               .approach = 1.0,
	                               .number = 1},
	                              {.kind = EVENT_RAIL,
	                               .time = 0.83,
	                               .ball = 0,
	                               .rail = RAIL_LEFT,
	                               .approach = 0.7,
	                               .number = 1},
	                              {.kind = EVENT_RAIL,
	                               .time = 1.83,
	                               .ball = 0,
	                               .rail = RAIL_HEAD,
	                               .approach = 0.1,
	                               .number = 2}};
	struct shot_need rails = {.rails = {1, 1}, .struck = true};
	struct shot_need sounds = {.sounds = 2, .struck = true};
	struct shot_need contacts = {.ball_contacts = 1, .struck = true};
	struct shot_record plain = record_of(events, 4), other;

	/* Other times and places, a last rail that is not needed: equal. */
	other = plain;
	other.events[0].time = 0.42;
	other.events[3].rail = RAIL_RIGHT;
	ck_assert(observe_order(&plain, &rails) == observe_order(&other, &rails));
	ck_assert(observe_order(&plain, &sounds) == observe_order(&other, &sounds));
	ck_assert(observe_order(&plain, &contacts) == observe_order(&other, &contacts));
	/* Another rail than the one needed. */
	other = plain;
	other.events[2].rail = RAIL_HEAD;
	ck_assert(observe_order(&plain, &rails) != observe_order(&other, &rails));
	ck_assert(observe_order(&plain, &contacts) == observe_order(&other, &contacts));
	/* A rail contact that does not happen. */
	other = record_of(events, 2);
	ck_assert(observe_order(&plain, &rails) != observe_order(&other, &rails));
	/* The second sound comes from another ball. */
	other = plain;
	other.events[1].ball = 0;
	ck_assert(observe_order(&plain, &sounds) != observe_order(&other, &sounds));
	/* It is too quiet. */
	other = plain;
	other.events[1].approach = 0.12;
	ck_assert(observe_order(&plain, &sounds) != observe_order(&other, &sounds));
	/* The balls that meet are others. */
	other = plain;
	other.events[0].other = 2;
	ck_assert(observe_order(&plain, &contacts) != observe_order(&other, &contacts));
	/* Two contacts of rails of different balls change places in time. */
	other = plain;
	other.events[1] = plain.events[2];
	other.events[2] = plain.events[1];
	ck_assert(observe_order(&plain, &rails) != observe_order(&other, &rails));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("sounds of a shot");
	TCase *sounds = tcase_create("sounds");

	tcase_add_test(sounds, quiet_contacts_are_not_heard);
	tcase_add_test(sounds, close_sounds_are_one_at_the_first);
	tcase_add_test(sounds, sound_takes_its_way_to_the_phone);
	tcase_add_test(sounds, eight_sounds_at_most);
	tcase_add_test(sounds, play_and_observation_count_sounds_alike);
	tcase_add_test(sounds, order_tells_what_is_needed);
	suite_add_tcase(suite, sounds);
	return close_run(suite);
}
