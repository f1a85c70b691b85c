/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "table/table.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* --- Presets: the table of formats.md 1, in its units -------------------------------------- */

#define HEIGHT TABLE_ASSUMED_NOSE_HEIGHT
#define SETBACK TABLE_ASSUMED_SIGHT_SETBACK
#define MOUTHS TABLE_ASSUMED_MOUTHS

static const struct preset_row {
	const char *name;
	double length, width;                 /* [m] */
	double diameter, mass;                /* [mm], [kg] */
	double cue_diameter, cue_mass;        /* [mm], [kg] */
	double height, setback, corner, side; /* [mm]; setback 0: none; corner 0: no pockets */
	unsigned assumed;
	bool napped;
} rows[] = {
	{"pool-9ft", 2.540, 1.270, 57.15, 0.163, 57.15, 0.163, 36.3, 93.66, 80.8, 63.5, 0, false},
	{"pool-8ft", 2.3368, 1.1684, 57.15, 0.163, 57.15, 0.163, 36.3, 93.66, 80.8, 63.5, 0, false},
	{"pool-7ft", 1.9304, 0.9652, 57.15, 0.163, 57.15, 0.163, 36.3, 93.66, 80.8, 63.5, SETBACK,
	 false},
	{"carom-10ft", 2.840, 1.420, 61.5, 0.210, 61.5, 0.210, 37.0, 93.66, 0, 0, SETBACK, false},
	{"snooker-12ft", 3.569, 1.778, 52.5, 0.142, 52.5, 0.142, 29.4, 0, 44, 51, HEIGHT | MOUTHS,
	 true},
	{"blackball-7ft", 1.829, 0.914, 50.8, 0.116, 47.6, 0.094, 31.0, 0, 42, 45, HEIGHT | MOUTHS,
	 true},
};

static void check_preset(const struct table *table, const struct preset_row *row)
{
	ck_assert_str_eq(table->preset, row->name);
	ck_assert_double_eq(table->length, row->length);
	ck_assert_double_eq(table->width, row->width);
	ck_assert_double_eq_tol(1000 * table->ball_diameter, row->diameter, 1e-9);
	ck_assert_double_eq_tol(1000 * table->cue_ball_diameter, row->cue_diameter, 1e-9);
	ck_assert_double_eq(table->ball_mass, row->mass);
	ck_assert_double_eq(table->cue_ball_mass, row->cue_mass);
	ck_assert_double_eq_tol(1000 * table->nose_height, row->height, 1e-9);
	ck_assert_double_eq_tol(1000 * table->sight_setback, row->setback, 1e-9);
	ck_assert_double_eq_tol(1000 * table->corner_mouth, row->corner, 1e-9);
	ck_assert_double_eq_tol(1000 * table->side_mouth, row->side, 1e-9);
	ck_assert(table->pockets == (row->corner > 0));
	ck_assert_uint_eq(table->assumed, row->assumed);
	ck_assert(table->napped == row->napped);
	ck_assert_uint_gt(strlen(table->source), 20);
}

START_TEST(presets_are_those_of_the_contract)
{
	size_t count;
	const struct table *presets = table_presets(&count);

	ck_assert_uint_eq(count, COUNT(rows));
	for (size_t i = 0; i < count; i++) {
		const char *why = NULL;

		check_preset(&presets[i], &rows[i]);
		ck_assert_msg(table_is_valid(&presets[i], &why), "%s: %s", rows[i].name, why);
	}
}
END_TEST

START_TEST(presets_are_found_by_their_whole_name)
{
	static const char *const others[] = {"", "pool", "pool-9f", "pool-9ft ", "POOL-9FT",
	                                     "custom", "pool-10ft"};
	size_t count;
	const struct table *presets = table_presets(&count);

	for (size_t i = 0; i < count; i++)
		ck_assert_ptr_eq(table_find_preset(rows[i].name, strlen(rows[i].name)),
		                 &presets[i]);
	ck_assert_ptr_eq(table_find_preset("carom-10ft,x", 10), &presets[3]);
	for (size_t i = 0; i < COUNT(others); i++)
		ck_assert_ptr_null(table_find_preset(others[i], strlen(others[i])));
}
END_TEST

START_TEST(custom_tables_borrow_from_the_first_preset)
{
	struct table table = table_custom(2.213, 1.107);
	struct preset_row row = rows[0];
	const char *why = NULL;

	row.name = "custom";
	row.length = 2.213;
	row.width = 1.107;
	row.assumed = HEIGHT | SETBACK | MOUTHS;
	check_preset(&table, &row);
	ck_assert(table_is_valid(&table, &why));
}
END_TEST

/* --- Rails and coordinates: formats.md 1 --------------------------------------------------- */

START_TEST(rails_have_four_names)
{
	static const char *const names[] = {"head", "foot", "left", "right"};
	static const char *const others[] = {"", "hea", "heads", "Head", "top", "f"};
	enum rail rail = RAIL_COUNT;

	for (unsigned i = 0; i < COUNT(names); i++) {
		ck_assert_str_eq(rail_name((enum rail)i), names[i]);
		ck_assert(rail_from_name(names[i], strlen(names[i]), &rail));
		ck_assert_uint_eq(rail, i);
		ck_assert(rail_is_long((enum rail)i) == (i >= 2));
	}
	ck_assert(rail_from_name("foot 1.5", 4, &rail) && rail == RAIL_FOOT);
	for (size_t i = 0; i < COUNT(others); i++)
		ck_assert(!rail_from_name(others[i], strlen(others[i]), &rail));
}
END_TEST

/* On pool-9ft a diamond is 12.5 in = 317.5 mm both ways (reference/standards.md A1, sights). */
START_TEST(diamonds_are_the_pitch_of_the_sights)
{
	const struct table *pool = table_find_preset("pool-9ft", 8);
	const struct table *snooker = table_find_preset("snooker-12ft", 12);

	ck_assert_double_eq_tol(table_long_to_metres(pool, 1.0), 0.3175, 1e-15);
	ck_assert_double_eq_tol(table_short_to_metres(pool, 1.0), 0.3175, 1e-15);
	ck_assert_double_eq_tol(table_long_to_diamonds(pool, 0.79375), 2.5, 1e-14);
	ck_assert_double_eq_tol(table_short_to_diamonds(pool, 1.27), 4.0, 1e-14);
	/* 3.569 / 8 and 1.778 / 4, by hand. */
	ck_assert_double_eq_tol(table_long_to_metres(snooker, 5.6), 2.4983, 1e-14);
	ck_assert_double_eq_tol(table_short_to_metres(snooker, 1.7), 0.75565, 1e-14);
	ck_assert_double_eq_tol(table_long_to_diamonds(snooker, 2.4983), 5.6, 1e-14);
	ck_assert_double_eq_tol(table_short_to_diamonds(snooker, 0.75565), 1.7, 1e-14);
}
END_TEST

START_TEST(frozen_balls_stand_a_radius_from_the_nose)
{
	const struct table *table = table_find_preset("blackball-7ft", 13);

	ck_assert_double_eq_tol(table_frozen_line(table, RAIL_HEAD, 0.0238), 0.0238, 1e-15);
	ck_assert_double_eq_tol(table_frozen_line(table, RAIL_FOOT, 0.0238), 1.8052, 1e-15);
	ck_assert_double_eq_tol(table_frozen_line(table, RAIL_LEFT, 0.0254), 0.0254, 1e-15);
	ck_assert_double_eq_tol(table_frozen_line(table, RAIL_RIGHT, 0.0254), 0.8886, 1e-15);
}
END_TEST

/* The half mouths of pool-9ft: 80.8 mm from a corner, 63.5 mm from the middle at 1.27 m. */
START_TEST(pockets_are_where_the_mouths_are)
{
	static const struct {
		enum rail rail;
		double along;
		bool falls;
	} cases[] = {
		{RAIL_HEAD, 0.0807, true},   {RAIL_HEAD, 0.0809, false}, {RAIL_HEAD, 0.635, false},
		{RAIL_HEAD, 1.1891, false},  {RAIL_FOOT, 1.1893, true},  {RAIL_FOOT, 0.0285, true},
		{RAIL_LEFT, 0.0286, true},   {RAIL_LEFT, 0.0809, false}, {RAIL_LEFT, 1.2064, false},
		{RAIL_LEFT, 1.2066, true},   {RAIL_RIGHT, 1.27, true},   {RAIL_RIGHT, 1.3334, true},
		{RAIL_RIGHT, 1.3336, false}, {RAIL_RIGHT, 2.4591, false},
		{RAIL_RIGHT, 2.4593, true},
	};
	struct table table = *table_find_preset("pool-9ft", 8);

	for (size_t i = 0; i < COUNT(cases); i++)
		ck_assert_msg(table_in_pocket(&table, cases[i].rail, cases[i].along) ==
		              cases[i].falls, "%s %g", rail_name(cases[i].rail), cases[i].along);
	table.pockets = false;
	for (size_t i = 0; i < COUNT(cases); i++)
		ck_assert(!table_in_pocket(&table, cases[i].rail, cases[i].along));
}
END_TEST

/* --- Tables that cannot be: the header of table_is_valid ----------------------------------- */

static const char length_range[] = "the playing length must be from 1 to 4 m";
static const char width_range[] = "the playing width must be from 0.5 to 2.5 m";
static const char too_wide[] = "the playing width must not be greater than the length";
static const char diameter_range[] = "the diameter of a ball must be from 0.02 to 0.1 m";
static const char mass_range[] = "the mass of a ball must be from 0.02 to 0.5 kg";
static const char nose_range[] = "the nose height must be more than the radius and less than the "
                                 "diameter of every ball";
static const char setback_range[] = "the sight setback must be from 0 to 0.3 m";
static const char mouths_range[] = "the half mouths of the pockets must not be negative and must "
                                   "not overlap";

static const struct change {
	size_t member;
	double value;
	const char *why; /* NULL: accepted */
} changes[] = {
	{offsetof(struct table, length), 0.999, length_range},
	{offsetof(struct table, length), 4.001, length_range},
	{offsetof(struct table, length), 254.0, length_range},
	{offsetof(struct table, length), NAN, length_range},
	{offsetof(struct table, length), 4.0, NULL},
	{offsetof(struct table, width), 0.499, width_range},
	{offsetof(struct table, width), 2.501, width_range},
	{offsetof(struct table, width), 0.5, NULL},
	{offsetof(struct table, width), 2.5, NULL},
	{offsetof(struct table, length), 1.269, too_wide},
	{offsetof(struct table, length), 1.270, NULL},
	{offsetof(struct table, ball_diameter), 57.15, diameter_range},
	{offsetof(struct table, cue_ball_diameter), 0.0, diameter_range},
	{offsetof(struct table, ball_mass), 163.0, mass_range},
	{offsetof(struct table, cue_ball_mass), -0.163, mass_range},
	{offsetof(struct table, cue_ball_mass), 0.21, NULL},
	{offsetof(struct table, nose_height), 0.028575, nose_range},
	{offsetof(struct table, nose_height), 0.05715, nose_range},
	{offsetof(struct table, nose_height), 0.0286, NULL},
	{offsetof(struct table, nose_height), 0.0571, NULL},
	{offsetof(struct table, cue_ball_diameter), 0.0363, nose_range},
	{offsetof(struct table, ball_diameter), 0.0726, nose_range},
	{offsetof(struct table, ball_diameter), 0.0725, NULL},
	{offsetof(struct table, sight_setback), -0.001, setback_range},
	{offsetof(struct table, sight_setback), 93.66, setback_range},
	{offsetof(struct table, sight_setback), 0.0, NULL},
	{offsetof(struct table, corner_mouth), -0.01, mouths_range},
	{offsetof(struct table, side_mouth), NAN, mouths_range},
	{offsetof(struct table, corner_mouth), 0.635, mouths_range},
	{offsetof(struct table, corner_mouth), 0.634, NULL},
	{offsetof(struct table, side_mouth), 1.1893, mouths_range},
	{offsetof(struct table, side_mouth), 1.1891, NULL},
};

START_TEST(impossible_tables_are_refused_with_their_reason)
{
	for (size_t i = 0; i < COUNT(changes); i++) {
		struct table table = *table_find_preset("pool-9ft", 8);
		const char *why = "";
		bool valid;

		/* At length 1.27 m the mouths of pool-9ft still fit: 80.8 + 63.5 < 635. */
		memcpy((char *)&table + changes[i].member, &changes[i].value, sizeof(double));
		valid = table_is_valid(&table, &why);
		if (changes[i].why == NULL)
			ck_assert_msg(valid, "change %zu: %s", i, why);
		else
			ck_assert_str_eq(why, changes[i].why);
		ck_assert(valid == (changes[i].why == NULL));
	}
}
END_TEST

START_TEST(mouths_do_not_matter_without_pockets)
{
	struct table table = *table_find_preset("pool-9ft", 8);
	const char *why = NULL;

	table.corner_mouth = 5.0;
	ck_assert(!table_is_valid(&table, &why));
	table.pockets = false;
	ck_assert(table_is_valid(&table, &why));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("table");
	TCase *test_case = tcase_create("table");
	SRunner *runner = srunner_create(suite);
	int failed;

	suite_add_tcase(suite, test_case);
	tcase_add_test(test_case, presets_are_those_of_the_contract);
	tcase_add_test(test_case, presets_are_found_by_their_whole_name);
	tcase_add_test(test_case, custom_tables_borrow_from_the_first_preset);
	tcase_add_test(test_case, rails_have_four_names);
	tcase_add_test(test_case, diamonds_are_the_pitch_of_the_sights);
	tcase_add_test(test_case, frozen_balls_stand_a_radius_from_the_nose);
	tcase_add_test(test_case, pockets_are_where_the_mouths_are);
	tcase_add_test(test_case, impossible_tables_are_refused_with_their_reason);
	tcase_add_test(test_case, mouths_do_not_matter_without_pockets);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
