/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "shot/observe.h"

/* Every quantity of a measurement file (formats.md 3) from records written by hand: 9-foot table,
 * 2.54 m long, 1.27 m wide, so a diamond is 0.3175 m both ways. */

#define DIAMOND 0.3175

static const struct table table = {.preset = "custom",
                                   .length = 2.54,
                                   .width = 1.27,
                                   .nose_height = 0.0363,
                                   .ball_diameter = 0.05715,
                                   .ball_mass = 0.163,
                                   .cue_ball_diameter = 0.05715,
                                   .cue_ball_mass = 0.163};

/* Number of a quantity by its name. */
static int number(const char *name)
{
	int found = -1;

	ck_assert(quantity_from_name(name, strlen(name), &found));
	return found;
}

static struct vector3 place(double along, double across)
{
	return vector3_make(across * DIAMOND, along * DIAMOND, 0.028575);
}

static void add_event(struct shot_record *record, enum shot_event_kind kind, double time,
                      size_t ball, size_t other, double along, double across, double approach)
{
	record->events[record->event_count++] =
	    (struct shot_event){.kind = kind,
	                        .time = time,
	                        .ball = ball,
	                        .other = other,
	                        .rail = RAIL_COUNT,
	                        .position = place(along, across),
	                        .approach = approach};
}

static void add_rail(struct shot_record *record, double time, size_t ball, enum rail rail,
                     int count, double along, double across, double approach)
{
	add_event(record, EVENT_RAIL, time, ball, ball, along, across, approach);
	record->events[record->event_count - 1].rail = rail;
	record->events[record->event_count - 1].number = count;
}

static void add_contact(struct shot_record *record, double time, size_t ball, size_t other,
                        int count, double along, double across, double approach)
{
	add_event(record, EVENT_BALLS, time, ball, other, along, across, approach);
	record->events[record->event_count - 1].number = count;
}

/* A shot of three balls: the cue ball meets the object ball, which meets a rail and falls; the cue
 * ball meets three rails, the second contact at the right rail does not count. */
static struct shot_record written_record(void)
{
	struct shot_record record = {.ending = SHOT_COMPLETE, .ball_count = BALL_ROLES};

	add_contact(&record, 0.3127, 0, 1, 1, 3.17, 1.29, 1.83);
	add_rail(&record, 0.8851, 0, RAIL_RIGHT, 1, 4.6071, 3.91, 0.77);
	add_rail(&record, 0.9417, 0, RAIL_RIGHT, 0, 4.6532, 3.91, 0.21);
	add_rail(&record, 1.1093, 1, RAIL_FOOT, 1, 7.91, 1.4814, 1.13);
	add_contact(&record, 1.2719, 0, 2, 2, 5.03, 2.77, 0.33);
	add_event(&record, EVENT_POCKET, 1.9331, 1, 1, 7.91, 0.05, 0.5);
	add_rail(&record, 2.4477, 0, RAIL_HEAD, 2, 0.09, 2.2203, 0.149);
	record.ends[0] = (struct ball_end){false, false, place(1.4142, 2.7183), 6.1331, 7.5077};
	record.ends[1] = (struct ball_end){true, false, place(7.91, 0.05), 1.9331, 1.9331};
	record.ends[2] = (struct ball_end){false, false, place(5.4321, 3.2109), 4.0201, 4.0201};
	return record;
}

static struct shot_design plain_design(void)
{
	struct shot_design design = {.key = "written"};

	for (int i = 0; i < BALL_ROLES; i++)
		design.place[i].present = true;
	return design;
}

/* Everything observed of a record at once. */
static void see(const struct shot_record *record, const struct shot_design *design,
                const struct microphone *microphone, struct observed *out)
{
	memset(out, 0, QUANTITY_COUNT * sizeof *out);
	observe(record, design, &table, microphone, place(1.0, 2.0),
	        (UINT32_C(1) << QUANTITY_COUNT) - 1, out);
}

START_TEST(rests_are_told_in_diamonds)
{
	struct shot_record record = written_record();
	struct shot_design design = plain_design();
	struct observed seen[QUANTITY_COUNT];

	see(&record, &design, NULL, seen);
	ck_assert_double_eq_tol(seen[number("cue_rest_long")].value, 1.4142, 1e-12);
	ck_assert_double_eq_tol(seen[number("cue_rest_short")].value, 2.7183, 1e-12);
	ck_assert_double_eq_tol(seen[number("object2_rest_long")].value, 5.4321, 1e-12);
	ck_assert_double_eq_tol(seen[number("object2_rest_short")].value, 3.2109, 1e-12);
	ck_assert(seen[number("cue_rest_long")].happened &&
	          !seen[number("cue_rest_long")].pocketed);
	ck_assert(seen[number("object_rest_long")].pocketed);
	ck_assert(seen[number("object_rest_short")].pocketed);
	/* Both coordinates whichever is asked for. */
	ck_assert_double_eq_tol(seen[number("cue_rest_long")].across, 2.7183, 1e-12);
	ck_assert_double_eq_tol(seen[number("cue_rest_short")].along, 1.4142, 1e-12);
}
END_TEST

/* The coordinate that runs along the rail; contacts that do not count are passed over. */
START_TEST(rail_contacts_are_numbered_by_ball)
{
	struct shot_record record = written_record();
	struct shot_design design = plain_design();
	struct observed seen[QUANTITY_COUNT];
	const struct {
		const char *name;
		enum rail rail;
		double value, along, across;
	} wanted[] = {{"cue_rail1", RAIL_RIGHT, 4.6071, 4.6071, 3.91},
	              {"cue_rail2", RAIL_HEAD, 2.2203, 0.09, 2.2203},
	              {"object_rail1", RAIL_FOOT, 1.4814, 7.91, 1.4814}};

	see(&record, &design, NULL, seen);
	for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
		const struct observed *one = &seen[number(wanted[i].name)];

		ck_assert(one->happened);
		ck_assert_int_eq(one->rail, wanted[i].rail);
		ck_assert_double_eq_tol(one->value, wanted[i].value, 1e-12);
		ck_assert_double_eq_tol(one->along, wanted[i].along, 1e-12);
		ck_assert_double_eq_tol(one->across, wanted[i].across, 1e-12);
	}
}
END_TEST

/* physics.md, layout.md: a contact that did not happen compares with where the ball stopped. */
START_TEST(contact_that_did_not_happen_is_where_the_ball_stopped)
{
	struct shot_record record = written_record();
	struct shot_design design = plain_design();
	struct observed seen[QUANTITY_COUNT];
	static const char *const missing[] = {"cue_rail3", "cue_rail4", "object_rail2",
	                                      "object2_rail1", "object2_rail4"};
	static const double along[] = {1.4142, 1.4142, 7.91, 5.4321, 5.4321};
	static const double across[] = {2.7183, 2.7183, 0.05, 3.2109, 3.2109};

	see(&record, &design, NULL, seen);
	for (int i = 0; i < 5; i++) {
		const struct observed *one = &seen[number(missing[i])];

		ck_assert(!one->happened);
		ck_assert_double_eq_tol(one->along, along[i], 1e-12);
		ck_assert_double_eq_tol(one->across, across[i], 1e-12);
	}
}
END_TEST

static struct moment moment(const char *name)
{
	struct moment found = {MOMENT_STRIKE, BALL_CUE, 0};

	ck_assert(moment_from_name(name, strlen(name), &found));
	return found;
}

/* The time of every kind of moment, by hand from written_record; where a contact did not happen,
 * the time at which the ball stopped, or, of a contact of two balls, the last one. */
START_TEST(watch_knows_every_moment)
{
	static const struct {
		const char *name;
		double time;
		bool happened;
	} moments[] = {{"strike", 0.0, true},           {"cue_rail1", 0.8851, true},
	               {"cue_rail2", 2.4477, true},     {"object_rail1", 1.1093, true},
	               {"contact1", 0.3127, true},      {"contact2", 1.2719, true},
	               {"cue_rest", 6.1331, true},      {"cue_still", 7.5077, true},
	               {"object_rest", 1.9331, true},   {"object2_rest", 4.0201, true},
	               {"object2_still", 4.0201, true}, {"cue_rail3", 6.1331, false},
	               {"object_rail2", 1.9331, false}, {"object2_rail1", 4.0201, false}};
	struct shot_record record = written_record();
	struct shot_design design = plain_design();
	size_t count = sizeof moments / sizeof moments[0];

	design.watch_count = 2;
	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < count; k++) {
			struct observed seen[QUANTITY_COUNT];

			design.watch[0] = (struct watch_interval){moment(moments[i].name),
			                                          moment(moments[k].name)};
			design.watch[1] = (struct watch_interval){moment(moments[k].name),
			                                          moment(moments[i].name)};
			see(&record, &design, NULL, seen);
			ck_assert_double_eq_tol(seen[number("watch1")].value,
			                        moments[k].time - moments[i].time, 1e-12);
			ck_assert_double_eq_tol(seen[number("watch2")].value,
			                        moments[i].time - moments[k].time, 1e-12);
			ck_assert_int_eq(seen[number("watch1")].happened,
			                 moments[i].happened && moments[k].happened);
		}
	/* No second contact of two balls: the last rest of all stands in. */
	record.event_count = 4;
	design.watch[0] = (struct watch_interval){moment("contact1"), moment("contact2")};
	struct observed seen[QUANTITY_COUNT];
	see(&record, &design, NULL, seen);
	ck_assert(!seen[number("watch1")].happened);
	ck_assert_double_eq_tol(seen[number("watch1")].value, 6.1331 - 0.3127, 1e-12);
}
END_TEST

/* An interval that the shot does not have. */
START_TEST(watch_without_an_entry_is_nothing)
{
	struct shot_record record = written_record();
	struct shot_design design = plain_design();
	struct observed seen[QUANTITY_COUNT];

	see(&record, &design, NULL, seen);
	ck_assert(!seen[number("watch1")].happened);
	ck_assert(!seen[number("watch2")].happened);
}
END_TEST

/* Quantities that are not asked for are left alone. */
START_TEST(only_what_is_asked_for_is_filled)
{
	struct shot_record record = written_record();
	struct shot_design design = plain_design();
	struct observed seen[QUANTITY_COUNT];

	for (int i = 0; i < QUANTITY_COUNT; i++)
		seen[i].value = -77.125;
	observe(&record, &design, &table, NULL, place(1.0, 2.0), UINT32_C(1) << number("cue_rail2"),
	        seen);
	for (int i = 0; i < QUANTITY_COUNT; i++)
		if (i != number("cue_rail2"))
			ck_assert_double_eq(seen[i].value, -77.125);
	ck_assert_double_eq_tol(seen[number("cue_rail2")].value, 2.2203, 1e-12);
}
END_TEST

/* What must have happened before a quantity can be told. */
START_TEST(needs_follow_from_what_is_read)
{
	struct shot_design design = plain_design();
	struct shot_need need;
	uint32_t rails = UINT32_C(1) << number("cue_rail3") | UINT32_C(1) << number("object_rail1");

	observe_need(&design, rails, &need);
	ck_assert(!need.everything && need.struck);
	ck_assert_int_eq(need.rails[BALL_CUE], 3);
	ck_assert_int_eq(need.rails[BALL_OBJECT], 1);
	ck_assert_int_eq(need.rails[BALL_OBJECT2], 0);
	ck_assert_int_eq(need.ball_contacts, 0);
	ck_assert_int_eq(need.sounds, 0);
	observe_need(&design, UINT32_C(1) << number("sound4") | UINT32_C(1) << number("sound2"),
	             &need);
	ck_assert_int_eq(need.sounds, 4);
	ck_assert(!need.everything);
	observe_need(&design, UINT32_C(1) << number("object2_rest_short"), &need);
	ck_assert(need.everything);
	design.watch_count = 2;
	design.watch[0] = (struct watch_interval){moment("strike"), moment("contact2")};
	design.watch[1] = (struct watch_interval){moment("object2_rail2"), moment("cue_still")};
	observe_need(&design, UINT32_C(1) << number("watch1"), &need);
	ck_assert_int_eq(need.ball_contacts, 2);
	ck_assert(!need.everything);
	observe_need(&design, UINT32_C(1) << number("watch2"), &need);
	ck_assert_int_eq(need.rails[BALL_OBJECT2], 2);
	ck_assert(need.everything);
	design.launch.by_ramp = true;
	observe_need(&design, rails, &need);
	ck_assert(!need.struck);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("observation of a shot");
	TCase *written = tcase_create("records written by hand");

	tcase_add_test(written, rests_are_told_in_diamonds);
	tcase_add_test(written, rail_contacts_are_numbered_by_ball);
	tcase_add_test(written, contact_that_did_not_happen_is_where_the_ball_stopped);
	tcase_add_test(written, watch_knows_every_moment);
	tcase_add_test(written, watch_without_an_entry_is_nothing);
	tcase_add_test(written, only_what_is_asked_for_is_filled);
	tcase_add_test(written, needs_follow_from_what_is_read);
	suite_add_tcase(suite, written);
	return close_run(suite);
}
